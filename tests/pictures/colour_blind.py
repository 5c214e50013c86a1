"""How people without one kind of cone see a picture: writes NAME-protan.png, NAME-deutan.png and NAME-tritan.png beside it.

    pip install -r tests/pictures/requirements.txt
    python tests/pictures/colour_blind.py docs/pictures/shell-worst-case.png

Simulation: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE TVCG 15(6), 2009, at full severity, for protan and deutan vision; for
tritan vision H. Brettel, F. Vienot, J. D. Mollon, J. Opt. Soc. Am. A 14(10), 1997, which fits it better. Both as DaltonLens has them.
"""

import sys
from pathlib import Path

import numpy as np
from daltonlens.simulate import Deficiency, Simulator_Brettel1997, Simulator_Machado2009
from PIL import Image

SIMULATORS = {
    "protan": (Simulator_Machado2009(), Deficiency.PROTAN),
    "deutan": (Simulator_Machado2009(), Deficiency.DEUTAN),
    "tritan": (Simulator_Brettel1997(), Deficiency.TRITAN),
}


def simulate(path: Path) -> None:
    pixels = np.asarray(Image.open(path).convert("RGB"))
    for name, (simulator, deficiency) in SIMULATORS.items():
        seen = simulator.simulate_cvd(pixels, deficiency, severity=1.0)
        Image.fromarray(seen).save(path.with_name(f"{path.stem}-{name}.png"))


def main() -> None:
    if len(sys.argv) < 2:
        sys.exit("which picture? python tests/pictures/colour_blind.py PICTURE.png ...")
    for argument in sys.argv[1:]:
        simulate(Path(argument))


if __name__ == "__main__":
    main()
