"""What goes on the brush for each part: one place decides, for the guide, the basket and the desk.

What is bought serves all parts at once, so it is chosen for all at once (`paints.basket`): the fewest pots
beside the owned ones with which every part gets a match, or where none is to be had what should come as near
as any. With these pots there, each part takes what `rank.preferred` ranks first.

Of a part that only grey or words speak of a whole cloud of colours is left. The original was not painted from
the list, so what is sought is no likeliest paint but the paint or mixture of the least expected difference
from what the part may have been. How likely each paint is, *if it was one of these*, is given too, and how
likely it is that it was none of them.

A clear coat is no colour, and metal flakes are for metallic parts: those take a metallic paint where one is a
match, and other parts take neither these nor a fluorescent paint while there is any other. What the maker
decided on stays.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import UNPAINTED
from palette.memory import remembered
from palette.notes import Note
from palette.paints.choosing.few import measurable
from palette.paints.choosing.notes import LooksOtherwise, PartsUnder
from palette.paints.choosing.proposals import INFERRED
from palette.paints.choosing.rank import PartRecipe
from palette.paints.choosing.target import CLOUD, Target, thinned
from palette.paints.likely import expected
from palette.swatches.model import Swatch, SwatchList

if TYPE_CHECKING:
    from palette.swatches.mix import Mix

Recipe: TypeAlias = tuple[tuple[str, int], ...]  # (swatch id, drops)

_SAME = 0.05  # CIEDE2000: the paint itself


@dataclass(frozen=True)
class Odds:
    """What a grey inference leaves of one part: `lightness` its 90 % interval of L*, `likely` (swatch id,
    probability) likeliest first, all adding up to 1, `draws` (n, 3) CIELAB colours at large where there are
    any."""

    lightness: tuple[float, float]
    likely: tuple[tuple[str, float], ...]
    draws: Array | None = None


@dataclass(frozen=True)
class Guess:
    """What there is to say of a choice for a part whose colour nobody measured."""

    expected: float  # CIEDE2000, the mean from the colours that the part may have had
    within: float  # how likely it is that the choice is within the tolerance of the part's colour, 0..1
    odds: tuple[tuple[str, float], ...]  # (swatch id, probability) if it was one of these paints; may be ()
    none: (
        float | None
    )  # how likely it is that none of the paints is within the tolerance of it; None: no paint


@dataclass(frozen=True)
class Chosen:
    """One paint (`mix` None) or a mixture, for one part."""

    recipe: Recipe
    difference: float  # CIEDE2000 under the kit's light, predicted; of a guess the mean of what may have been
    owned: bool  # all of it
    mix: Mix | None = None
    guess: Guess | None = None  # where the part's colour is inferred
    lab: Array | None = field(default=None, compare=False)  # (3,), what comes of it
    to_buy: tuple[str, ...] = ()  # those of its paints that are not owned
    look: str = ""  # what it looks like where the part is to look otherwise: metallic | fluorescent | plain
    within: bool = True  # whether it should be within the kit's tolerance, its prediction's error counted
    parting: PartsUnder | None = None  # where it matches under the kit's light and not under a lamp

    @property
    def remarks(self) -> tuple[Note, ...]:
        """What is to be said of how it looks: otherwise than the part, always or under a lamp."""
        otherwise = (LooksOtherwise(self.look),) if self.look else ()
        return (*otherwise, *((self.parting,) if self.parting is not None else ()))

    @property
    def miss(self) -> float:
        """The CIEDE2000 by which it may be expected to be off."""
        return float(expected(self.difference, 0.0 if self.mix is None else self.mix.expected_error))


def expected_miss(mix: Mix) -> float:
    """The CIEDE2000 by which a mixture may be expected to be off, its prediction's error included."""
    return float(expected(mix.difference, mix.expected_error))


def choose(
    scheme: Scheme,
    swatches: SwatchList,
    odds: Mapping[str, Odds] | None = None,
    progress: Callable[[int, int], None] = lambda done, total: None,
) -> dict[str, Chosen]:
    """What goes on the brush for each part, by part id; parts without a colour or paint are left out, and
    so are clear, bare and lit ones.

    `scheme` is as it is painted (`scaled.as_painted`), and so are the `odds`, by part id.
    """
    from palette.errors import InputError
    from palette.paints.basket import to_paint

    known = [p for p in scheme.parts if p.lab is not None and p.part.finish not in UNPAINTED]
    if not known or not len(swatches):
        return {}
    targets = targets_of(known, swatches, odds or {}, scheme.kit.light)
    try:
        tolerance = scheme.kit.tolerance
        found, basket = measurable(
            scheme,
            known,
            targets,
            swatches,
            lambda some: to_paint(some, swatches, tolerance, progress=progress, whole=False),
        )
    except InputError:  # nothing of it is sold any more: what there once was
        return {
            part.part.id: Chosen(((p.swatch, 1),), p.difference, False, lab=p.lab, to_buy=(p.swatch,))
            for part in known
            for p in part.paints[:1]
        }
    return decided(known, found, basket.chosen_recipes, swatches, tolerance, odds or {})


def targets_of(
    parts: Sequence[PartColour],
    swatches: SwatchList,
    odds: Mapping[str, Odds],
    light: str | float = "D65",
) -> list[Target]:
    """What parts with a colour are to look like under a light."""
    sold = {swatch.id: swatch for swatch in swatches.swatches if not swatch.retired}
    clouds: dict[bytes, Target] = {}  # parts of one paint share theirs, and what is found for it
    targets = []
    for part in parts:
        assert part.lab is not None
        metallic = part.part.finish == "metallic"
        if part.basis in INFERRED and (cloud := cloud_of(part, odds.get(part.part.id))) is not None:
            key = cloud.tobytes() + bytes([metallic])
            targets.append(clouds.setdefault(key, Target.among(cloud, metallic, light)))
        else:
            stays, unsure = _decided_on(part, sold), part.radius90 or 0.0
            targets.append(Target(part.lab, metallic, None, stays, unsure, light))
    return targets


def cloud_of(part: PartColour, odds: Odds | None) -> Array | None:
    """The colours (d, 3) that a part may have had, equally likely: what grey leaves, else the Gaussian of its
    colour; None where that has no spread."""
    if odds is not None and odds.draws is not None and len(odds.draws) >= CLOUD // 2:
        return thinned(odds.draws)
    if part.lab is None or part.covariance is None or not np.trace(part.covariance) > 0.01:
        return None
    drawn = np.random.default_rng(7).multivariate_normal(part.lab, part.covariance, CLOUD, method="eigh")
    return np.asarray(drawn + (part.lab - drawn.mean(axis=0)))


def _decided_on(part: PartColour, sold: Mapping[str, Swatch]) -> str | None:
    """The very paint that the maker decided on, if it is sold."""
    from palette.colour.difference import difference

    stated = part.part.colour
    if part.basis != "decision" or part.lab is None:
        return None
    if stated is not None and stated.swatch is not None:
        return stated.swatch if stated.swatch in sold else None
    near = part.paints[0].swatch if part.paints else ""
    return near if near in sold and difference(part.lab, sold[near].lab) < _SAME else None


def decided(
    parts: Sequence[PartColour],
    targets: Sequence[Target],
    recipes: Sequence[PartRecipe | None],
    swatches: SwatchList,
    tolerance: float,
    odds: Mapping[str, Odds],
) -> dict[str, Chosen]:
    """The recipes of the parts as choices, by part id; a part without is left out."""
    from palette.paints.mixing.colourants import with_whites

    row = {swatch.id: i for i, swatch in enumerate(swatches.swatches)}
    mixed = {
        id for recipe in recipes if recipe is not None and len(recipe.drops) > 1 for id, _ in recipe.drops
    }
    mixing = with_whites(swatches, sorted(row[id] for id in mixed))
    sold = swatches.where([not s.retired for s in swatches.swatches])
    choices: dict[str, Chosen] = {}
    guesses: dict[tuple[int, Recipe], Guess] = {}
    for part, target, recipe in zip(parts, targets, recipes, strict=True):
        if recipe is None:
            continue
        used = [swatches.swatches[row[id]] for id, _ in recipe.drops]
        mix = _mix(recipe.drops, mixing, target.lab) if len(used) > 1 else None
        lab = used[0].lab if mix is None else mix.lab
        guess = None
        if target.cloud is not None:
            key = id(target.cloud), recipe.drops
            if key not in guesses:
                guesses[key] = _guess(target.cloud, lab, sold, tolerance, odds.get(part.part.id))
            guess = guesses[key]
        to_buy = tuple(swatch.id for swatch in used if swatch.owned is not True)
        stated = part.part.colour
        wanted = stated is not None and stated.swatch == recipe.drops[0][0]  # however it looks
        look = "" if wanted else recipe.look
        parting = None if wanted or guess is not None else _parting(target, used, mix, tolerance)
        choices[part.part.id] = Chosen(
            recipe.drops, recipe.difference, not to_buy, mix, guess, lab, to_buy, look, recipe.within, parting
        )
    return choices


def _parting(target: Target, used: Sequence[Swatch], mix: Mix | None, tolerance: float) -> PartsUnder | None:
    """Whether what matches a target under its light parts from it under a lamp. Of paints whose reflectances
    nobody measured that is not known, and nothing is said."""
    from palette.paints.choosing.seen import spectra
    from palette.paints.metamerism import parted, under_lights

    if any(swatch.reflectance is None for swatch in used):
        return None
    offered = spectra(used)[0] if mix is None else mix.reflectance
    return parted(under_lights(target.lab, offered, target.light, tolerance=tolerance))


@remembered()
def _mix(drops: Recipe, mixing: SwatchList, target: Array) -> Mix:
    from palette.paints.mixing import predicted

    return predicted(dict(drops), mixing, target)


@remembered()
def _guess(cloud: Array, lab: Array, sold: SwatchList, tolerance: float, odds: Odds | None) -> Guess:
    from palette.colour.difference import difference

    off = difference(lab, cloud)
    nearest = sold.nearest(cloud, 1)[1][:, 0] if len(sold) else None
    return Guess(
        float(off.mean()),
        float((off <= tolerance).mean()),
        odds.likely if odds is not None else (),
        None if nearest is None else float((nearest > tolerance).mean()),
    )


def nearest_of(part: PartColour, some: SwatchList, odds: Odds | None = None) -> tuple[Swatch, float]:
    """Of some paints the one nearest to a part with a colour, and how far it is off (CIEDE2000); of a part
    that is inferred the one of the least expected difference, and that."""
    assert part.lab is not None
    cloud = cloud_of(part, odds) if part.basis in INFERRED else None
    if cloud is None:
        indices, differences = some.nearest(part.lab, 1)
        return some.swatches[int(indices[0])], float(differences[0])
    off = Target(part.lab, cloud=cloud).off(some.lab)
    best = int(off.argmin())
    return some.swatches[best], float(off[best])


def base(part: PartColour, chosen: Chosen | None, swatches: SwatchList) -> Array | None:
    """The colour, (3,) CIELAB, that stands on the model before shading: the part's, but where that is a guess
    what was chosen for it; None where there is none."""
    if part.lab is not None and chosen is not None and chosen.guess is not None:
        return chosen.lab
    return part.lab
