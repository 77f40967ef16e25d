"""Numbers as the maker reads them: her units, her fractions, her money."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.bag import Workroom
from bagwright.model.source import Band, Reading
from bagwright.units import (
    Printed,
    UnitSystem,
    own_unit_first,
    print_cloth_length,
    print_heat,
    print_length,
    print_mass,
    print_mass_gsm,
    print_thickness,
)


@dataclass(frozen=True, slots=True)
class Wording:
    """Prints everything after one workroom's choice of units."""

    workroom: Workroom

    @property
    def units(self) -> UnitSystem:
        """Her system."""
        return self.workroom.units

    def size(self, length_mm: float) -> Printed:
        """A measurement."""
        return print_length(length_mm, self.units, fraction=self.workroom.fraction)

    def length(self, length_mm: float) -> str:
        """A measurement, without what its rounding hid."""
        return self.size(length_mm).text

    def cloth(self, length_mm: float) -> str:
        """A length off a bolt, rounded up."""
        return print_cloth_length(length_mm, self.units).text

    def hers_first(self, text: str) -> str:
        """A text that tells sizes in both systems."""
        return own_unit_first(text, self.units)

    def band(self, band: Band) -> str:
        """Lowest to highest length; one number if they print alike."""
        low, high = self.length(band.low), self.length(band.high)
        if low == high:
            return low
        number, _, unit = low.rpartition(" ")
        return f"{number if high.endswith(unit) else low} to {high}"

    def mass(self, mass_g: float) -> str:
        """Weight of a thing."""
        return print_mass(mass_g, self.units).text

    def mass_gsm(self, mass_gsm: float) -> str:
        """Weight of a sheet."""
        return print_mass_gsm(mass_gsm, self.units).text

    def heat(self, heat_c: float) -> str:
        """Temperature."""
        return print_heat(heat_c, self.units)

    def thickness(self, thickness_mm: float) -> str:
        """Thickness of a sheet or a stack."""
        return print_thickness(thickness_mm, self.units)

    def grams(self, mass_g: float) -> str:
        """A small weight that is measured in g in every workroom."""
        return f"{mass_g:g} g"

    def spread(self, reading: Reading, say: str) -> str:
        """A reading with its range, printed by the method named `say`."""
        printer = getattr(self, say)
        value, low, high = (str(printer(number)) for number in (reading.value, reading.low, reading.high))
        return (
            value if low == high else f"{value} ({low.rpartition(' ')[0] or low} to {high.rpartition(' ')[0] or high})"
        )

    def share(self, share: float) -> str:
        """A share as a percentage.

        >>> Wording(Workroom()).share(0.035)
        '3.5 %'
        """
        return f"{share:.1%}".replace(".0%", "%").replace("%", " %")
