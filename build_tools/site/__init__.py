"""The MkDocs side: the plugin, page frames, menu and search. The only folder that knows MkDocs and Material.

Uses every folder that makes pages; only commands use it.
"""
