"""Customers with their sites and doors, as customers.yml has them. A door's id is its leveler's stable id."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from build_tools.reading.marked_yaml import Node
from build_tools.reading.problems import Problem, suggestion
from build_tools.reading.shapes import Key, Shape, check_shape, id_of
from build_tools.registers.rows import Equipment

CUSTOMERS = "customers.yml"
CUSTOMER_SHAPE: Shape = {
    "id": Key("id", "records name a customer by its id", "hallow-mill"),
    "name": Key("text", "the technician chooses by it", "Hallow Mill Foods"),
    "demo": Key("flag", "one tap takes invented customers away", "true", required=False),
    "site": Key("mapping", "whoever goes there needs the way", "{address: ..., gate: ...}"),
    "doors": Key("rows", "a visit is to the leveler of one door", "[{id: hm-01, door: '1', ...}]"),
}
SITE_SHAPE: Shape = {
    "address": Key("text", "in an emergency it is read out to those who come", "1 Example Road"),
    "gate": Key("text", "a technician must get in", "Gate B, ask for the dock lead"),
    "phone": Key("text", "a technician calls ahead", "555-0142", required=False),
}
DOOR_SHAPE: Shape = {
    "id": Key("id", "the leveler's records hang on it for good", "hm-01"),
    "door": Key("text", "it is read off the door", "3"),
    "leveler": Key("id", "its class gives window, limits and springs", "brackenlow-b2", required=False),
}


@dataclass(frozen=True, slots=True)
class Door:
    """One door with its leveler. `leveler` is a class of the equipment register, or ""."""

    id: str
    door: str
    leveler: str
    line: int


@dataclass(frozen=True, slots=True)
class Customer:
    """A customer with one site. `demo` customers are invented."""

    id: str
    name: str
    demo: bool
    address: str
    gate: str
    phone: str
    doors: tuple[Door, ...]
    file: str
    line: int


def customer_from(row: Node, file: str) -> Customer:
    """Make the Customer of a row that passed its shape and `check_customer`."""
    site, demo = row.value["site"].value, row.value.get("demo")
    phone = site.get("phone")
    return Customer(
        row.value["id"].written,
        row.value["name"].written,
        bool(demo is not None and demo.value),
        site["address"].written,
        site["gate"].written,
        phone.written if phone is not None else "",
        tuple(_door(door) for door in row.value["doors"].value),
        file,
        row.line,
    )


def check_customer(row: Node, file: str, subject: str) -> list[Problem]:
    """Return the problems of a customer's site and doors."""
    found = check_shape(row.value["site"], SITE_SHAPE, file=file, subject=f"{subject}, site")
    for door in row.value["doors"].value:
        found += check_shape(door, DOOR_SHAPE, file=file, subject=f"{subject}, door '{id_of(door)}'")
    return found


def check_doors(customers: Iterable[Customer], equipment: Mapping[str, Equipment]) -> list[Problem]:
    """Return every door whose id stands twice, and every leveler class that no row has."""
    found = []
    seen: dict[str, int] = {}
    for customer in customers:
        for door in customer.doors:
            if door.id in seen:
                what = f"the door id '{door.id}' stands twice (first on line {seen[door.id]})"
                why, fix = "the records of two levelers would be one", "give one of them another id"
                found.append(Problem(customer.file, door.line, what, why, fix))
            seen.setdefault(door.id, door.line)
            if door.leveler and door.leveler not in equipment:
                what = f"door '{door.id}' names an unknown leveler class '{door.leveler}'"
                why = "content/registers/equipment has no such file"
                fix = suggestion(door.leveler, equipment, otherwise="add the class, or leave `leveler` out")
                found.append(Problem(customer.file, door.line, what, why, fix))
    return found


def _door(row: Node) -> Door:
    leveler = row.value.get("leveler")
    return Door(
        row.value["id"].written,
        row.value["door"].written,
        leveler.written if leveler is not None else "",
        row.line,
    )
