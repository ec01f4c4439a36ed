"""What the guide shows of the model: drawn from its meshes where most parts have one, else from a
reference."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from palette.colour.spaces import lab_to_hex
from palette.evidence.combine.model import Scheme
from palette.guide.painter.show import Shown
from palette.paints.choosing.chosen import Chosen, base
from palette.swatches.model import SwatchList
from palette.words.catalogue import Words


def shown(
    scheme: Scheme,
    chosen: Mapping[str, Chosen],
    swatches: SwatchList,
    groups: Sequence[tuple[str, ...]],
    words: Words,
) -> Shown:
    """The pictures of a scheme's model; `groups` are the part ids that its steps light.

    Raises:
        InputError: a mesh cannot be read.
    """
    from palette.guide.painter.views import meshes, picture, solid

    kit = scheme.kit
    with_mesh = sum(part.mesh is not None for part in kit.parts)
    if 2 * with_mesh > len(kit.parts) and solid.available():
        labs = {f.part.id: base(f, chosen.get(f.part.id), swatches) for f in scheme.parts}
        colours = {id: "" if lab is None else lab_to_hex(lab) for id, lab in labs.items()}
        return meshes.draw(kit, colours, groups)
    return picture.draw(kit, groups, words)
