"""What the proof of a pattern finds, fault by fault, so that each can be told beside its seam or edge."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.source import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundnessFault:
    """One fault in words, and what it concerns, as far as it concerns one seam, or one piece, copy and edge.

    `missing_mm` and `surplus_mm`: length of that edge that is sewn too seldom and too often.
    """

    words: str
    seam_id: str = ""
    piece_id: str = ""
    copy: int = 0
    edge: str = ""
    missing_mm: float = 0.0
    surplus_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class SoundnessReport:
    """Which checks ran on a pattern, and every fault they found.

    `followed`: whether the checks that follow the seams ran, too; else the faults lie in pieces and names.
    """

    checks: tuple[str, ...]
    faults: tuple[SoundnessFault, ...] = ()
    followed: bool = True

    @property
    def verdict(self) -> Verdict:
        """The same in words alone."""
        return Verdict(self.checks, tuple(fault.words for fault in self.faults))
