"""What the spring rate is asked, by dimensions or by two measured points, and what it gives back."""

from __future__ import annotations

from calculators.shared.fields import Field, Output

DIMENSIONS = ("wire_diameter_m", "outside_diameter_m", "active_coils", "shear_modulus_pa")
"""All of these give the rate."""
STRETCH = ("initial_tension_n", "extension_m")
"""Both of these give the force."""

_POINT = (
    Field(name="length_m", kind="number", unit="m", low=0.01, high=8, label="Length",
          help="Between the same two marks both times."),
    Field(name="force_n", kind="number", unit="N", low=0, low_open=True, high=100_000, label="Pull",
          help="With the coils open; a loose spring tells nothing."),
)

INPUTS = (
    Field(name="wire_diameter_m", kind="number", unit="m", low=0.0002, high=0.05, optional=True,
          group="dimensions", label="Wire diameter",
          help="Measured with a caliper on bare wire; 1 % here is 4 % in the rate."),
    Field(name="outside_diameter_m", kind="number", unit="m", low=0.001, high=1, optional=True,
          group="dimensions", label="Outside diameter of the coil",
          help="Over the coils, in the middle of the spring."),
    Field(name="active_coils", kind="number", unit="1", low=1, high=1000, optional=True,
          group="dimensions", label="Active coils",
          help="The coils that open; hooks and end coils do not count."),
    Field(name="shear_modulus_pa", kind="number", unit="Pa", low=1e10, high=2e11, optional=True,
          group="dimensions", label="Shear modulus of the wire",
          help="By the wire's table; sources differ by several percent."),
    Field(name="initial_tension_n", kind="number", unit="N", low=0, high=20_000, optional=True,
          group="stretch", label="Initial tension",
          help="Pull at which the coils just begin to open; 0 if they stand open."),
    Field(name="extension_m", kind="number", unit="m", low=0, low_open=True, high=4, optional=True,
          group="stretch", label="Extension",
          help="How much longer than free the spring is pulled."),
    Field(name="thread_pitch_m", kind="number", unit="m", low=0.0002, high=0.02, optional=True,
          group="nut", label="Pitch of the thread",
          help="Travel of the nut for a full turn, measured over several."),
    Field(name="points", kind="rows", least=0, most=2, optional=True, fields=_POINT,
          group="points", label="Measured points",
          help="Two lengths and the pull at each, in place of the dimensions."),
)

OUTPUTS = (
    Output(name="headline", kind="sentence", label="Answer", help="The answer in one sentence."),
    Output(name="rate_n_per_m", kind="number", unit="N/m", label="Rate",
           help="How much harder the spring pulls, the longer it is drawn."),
    Output(name="force_n", kind="number", unit="N", may_be_null=True, label="Pull at that extension",
           help="None without initial tension and extension."),
    Output(name="half_turn_extension_m", kind="number", unit="m", may_be_null=True,
           label="Extension by one half turn", help="Half the pitch; none without the pitch."),
    Output(name="half_turn_force_n", kind="number", unit="N", may_be_null=True,
           label="Change of pull by one half turn", help="None without the pitch."),
    Output(name="mean_diameter_m", kind="number", unit="m", may_be_null=True, label="Mean coil diameter",
           help="Outside diameter less one wire; none for measured points."),
    Output(name="spring_index", kind="number", unit="1", may_be_null=True, label="Spring index",
           help="Mean coil diameter over wire diameter; none for measured points."),
    Output(name="wahl_factor", kind="number", unit="1", may_be_null=True, label="Wahl factor",
           help="How much the curve of the wire adds to the stress; none for measured points."),
    Output(name="shear_stress_pa", kind="number", unit="Pa", may_be_null=True, label="Shear stress",
           help="In the coils at that pull; none for measured points or without a pull."),
    Output(name="reasons", kind="sentences", label="Why", help="What led to the answer."),
)
