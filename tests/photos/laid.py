"""Measures how two photos of one view are laid over each other and compared: on drawn sides, every change known.

Recall: of the damages drawn onto the later photo, how many lie under a place to look at. False alarms: places that lie
on no damage. Each scene is photographed once, then again in each light: as it was, and with three damages.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from handover.demo.scenes import TALL, WIDE, Box, Damage, DamageKind, Light, Scene, photo, place_on_body, side
from handover.photo.aligning import Laid, TooDifferent, lay_over
from handover.photo.differing import Region

LIGHTS = {
    "same light": Light(moved=0.02),
    "other light": Light(moved=0.03, gain=0.8, slant=0.15, warmth=0.06, noise=3, blur=0.8),
    "a step aside": Light(moved=0.06, gain=0.9, slant=0.08, noise=3, blur=0.8),
    "dusk": Light(moved=0.03, gain=0.45, warmth=0.1, noise=7, blur=1.2),
    "shade and gloss": Light(moved=0.03, shadow=0.35, gloss=0.5, noise=3, blur=0.8),
}
# Longest sides in pixels of a photo 1200 wide: of a side 4 m long, 30 px are 10 cm.
KINDS: tuple[tuple[DamageKind, int], ...] = (
    ("scratch", 40), ("scratch", 80), ("scratch", 160), ("scuff", 50), ("scuff", 100), ("dent", 30), ("dent", 50),
    ("dent", 80), ("missing part", 24), ("missing part", 48),
)  # fmt: skip
ROOM_PX = 8


@dataclass
class Tally:
    """found: for each light and kind, whether each damage was. false: places on no damage, a pair each."""

    found: dict[tuple[str, str, int], list[bool]] = field(default_factory=dict)
    false: dict[tuple[str, bool], list[int]] = field(default_factory=dict)
    not_laid: list[str] = field(default_factory=list)

    def recall(self, *, light: str = "", kind: tuple[str, int] | None = None) -> float:
        rows = [
            hits for (named, *sort), hits in self.found.items()
            if light in {"", named} and kind in {None, tuple(sort)}
        ]  # fmt: skip
        return float(np.mean([hit for hits in rows for hit in hits]))

    def false_alarms(self, light: str = "") -> float:
        """A pair, changed or not."""
        return float(
            np.mean([count for (named, _), row in self.false.items() if light in {"", named} for count in row])
        )


def measure(seeds: Sequence[int], lights: Sequence[str] = tuple(LIGHTS)) -> Tally:
    tally = Tally()
    for seed in seeds:
        scene = side(seed)
        before = photo(scene, Light(), seed=seed + 1000).data
        for light in lights:
            for damages in ((), _damages(seed)):
                _count(tally, light, before, scene, damages, seed + 2000)
    return tally


def _damages(seed: int) -> tuple[Damage, ...]:
    draw = np.random.default_rng(seed)
    chosen = [KINDS[place] for place in draw.permutation(len(KINDS))[:3]]
    return tuple(Damage(kind, *place_on_body(draw), size) for kind, size in chosen)


def _count(tally: Tally, light: str, before: bytes, scene: Scene, damages: tuple[Damage, ...], seed: int) -> None:
    after = photo(scene, LIGHTS[light], seed=seed, damages=damages)
    try:
        laid = lay_over(before, after.data)
    except TooDifferent:
        tally.not_laid.append(light)
        laid = Laid(b"", ())
    used: set[int] = set()
    for damage, box in zip(damages, after.boxes, strict=True):
        hits = set(_over(box, laid.regions))
        used |= hits
        tally.found.setdefault((light, damage.kind, damage.size), []).append(bool(hits))
    tally.false.setdefault((light, bool(damages)), []).append(len(laid.regions) - len(used))


def _over(box: Box, regions: Sequence[Region]) -> Iterator[int]:
    """Which places cover a third of the damage, or its middle."""
    for number, region in enumerate(regions):
        left, right = region.left * WIDE / 1000 - ROOM_PX, (region.left + region.width) * WIDE / 1000 + ROOM_PX
        top, bottom = region.top * TALL / 1000 - ROOM_PX, (region.top + region.height) * TALL / 1000 + ROOM_PX
        wide = max(0.0, min(right, box[0] + box[2]) - max(left, box[0]))
        tall = max(0.0, min(bottom, box[1] + box[3]) - max(top, box[1]))
        in_middle = left <= box[0] + box[2] / 2 <= right and top <= box[1] + box[3] / 2 <= bottom
        if wide * tall >= box[2] * box[3] / 3 or (in_middle and wide * tall > 0):
            yield number
