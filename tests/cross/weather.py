"""Sun, air and conductor temperature on grids and drawn states, worked out independently of the Rust code.

sun.csv    Altitude (without refraction) and azimuth by pvlib's implementation of the NREL solar position algorithm, on
           drawn places and times; every tenth place lies at a pole, a polar circle, the equator or the date line.
air.csv    Density, viscosity and thermal conductivity of air by CoolProp (reference equations of state and transport of
           Lemmon and others) over film temperature and elevation; pressure by the International Standard Atmosphere.
heat.csv   Steady temperatures by scipy.optimize.brentq and temperatures after a time by scipy.integrate.solve_ivp on
           the equations of IEEE Std 738-2012, written here from the standard's text form.

Usage: python weather.py   (writes ../data/cross/{sun,air,heat}.csv; versions in requirements.txt)
"""

import csv
import math
import pathlib

import numpy
import pandas
import pvlib
import scipy.integrate
import scipy.optimize
from CoolProp.CoolProp import PropsSI

SEED = 20_261_125
DELTA_T_S = 69.2
OUTPUT = pathlib.Path(__file__).resolve().parent.parent / "data" / "cross"
SPECIAL_LATITUDES = [90.0, -90.0, 66.5667, -66.5667, 0.0]
SPECIAL_LONGITUDES = [180.0, -180.0, 0.0]


def write(name, rows):
    OUTPUT.mkdir(parents=True, exist_ok=True)
    with (OUTPUT / name).open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def sun_rows(random, count=1000):
    for index in range(count):
        latitude = float(numpy.round(math.degrees(math.asin(random.uniform(-1, 1))), 4))
        longitude = float(numpy.round(random.uniform(-180, 180), 4))
        if index % 10 == 0:
            latitude = SPECIAL_LATITUDES[index // 10 % len(SPECIAL_LATITUDES)]
            longitude = SPECIAL_LONGITUDES[index // 10 % len(SPECIAL_LONGITUDES)]
        unix_s = int(random.integers(946_684_800, 2_208_988_800))  # 2000 to 2039
        elevation_m = float(numpy.round(random.uniform(0, 4000), 0))
        time = pandas.DatetimeIndex([pandas.Timestamp(unix_s, unit="s", tz="UTC")])
        found = pvlib.solarposition.spa_python(
            time, latitude, longitude, altitude=elevation_m, delta_t=DELTA_T_S, atmos_refract=0
        )
        yield {
            "latitude_deg": latitude,
            "longitude_deg": longitude,
            "elevation_m": elevation_m,
            "unix_s": unix_s,
            "altitude_deg": float(found["elevation"].iloc[0]),
            "azimuth_deg": float(found["azimuth"].iloc[0]),
        }


def air_rows():
    for film_degc in range(-40, 161, 10):
        for elevation_m in range(0, 4001, 500):
            kelvin = film_degc + 273.15
            pressure_pa = 101_325 * (1 - 2.25577e-5 * elevation_m) ** 5.25588
            yield {
                "film_degc": film_degc,
                "elevation_m": elevation_m,
                "density_kg_per_m3": PropsSI("D", "T", kelvin, "P", pressure_pa, "Air"),
                "viscosity_pa_s": PropsSI("V", "T", kelvin, "P", pressure_pa, "Air"),
                "conductivity_w_per_mk": PropsSI("L", "T", kelvin, "P", pressure_pa, "Air"),
            }


def surplus(temperature, c):
    """Gain less loss, W/m."""
    film = (temperature + c["ambient_degc"]) / 2
    rise = temperature - c["ambient_degc"]
    viscosity = 1.458e-6 * (film + 273) ** 1.5 / (film + 383.4)
    height = c["elevation_m"]
    density = (1.293 - 1.525e-4 * height + 6.379e-9 * height**2) / (1 + 0.00367 * film)
    conductivity = 2.424e-2 + 7.477e-5 * film - 4.407e-9 * film**2
    reynolds = c["diameter_m"] * density * c["wind_m_per_s"] / viscosity
    angle = c["wind_angle_rad"]
    turn = 1.194 - math.cos(angle) + 0.194 * math.cos(2 * angle) + 0.368 * math.sin(2 * angle)
    slow = turn * (1.01 + 1.35 * reynolds**0.52) * conductivity * rise
    fast = turn * 0.754 * reynolds**0.6 * conductivity * rise
    still = 3.645 * math.sqrt(density) * c["diameter_m"] ** 0.75 * math.copysign(abs(rise) ** 1.25, rise)
    convection = max((slow, fast, still), key=abs)
    kelvin, ambient = (temperature + 273) / 100, (c["ambient_degc"] + 273) / 100
    radiation = 17.8 * c["diameter_m"] * c["emissivity"] * (kelvin**4 - ambient**4)
    resistance = c["resistance_ohm_per_m"] * (1 + c["coefficient_per_k"] * (temperature - 20))
    return c["solar_w_per_m"] + c["current_a"] ** 2 * resistance - convection - radiation


def heat_rows(random, count=1000):
    made = 0
    while made < count:
        diameter = float(numpy.round(random.uniform(0.004, 0.05), 5))
        area = 0.6 * diameter**2
        c = {
            "diameter_m": diameter,
            "emissivity": float(numpy.round(random.uniform(0.2, 0.95), 2)),
            "resistance_ohm_per_m": float(f"{2.9e-8 / area:.4g}"),
            "coefficient_per_k": float(numpy.round(random.uniform(0.0038, 0.0046), 5)),
            "ambient_degc": float(numpy.round(random.uniform(-40, 50), 1)),
            "wind_m_per_s": 0.0 if random.random() < 0.15 else float(numpy.round(30 * random.random() ** 2, 2)),
            "wind_angle_rad": float(numpy.round(random.uniform(0, math.pi / 2), 3)),
            "elevation_m": float(numpy.round(random.uniform(0, 4000), 0)),
            "solar_w_per_m": 0.0 if random.random() < 0.3 else float(numpy.round(random.uniform(0, 1000) * diameter, 2)),
            "current_a": float(numpy.round(random.uniform(0, 4e6) * area, 1)),
        }
        if surplus(250.0, c) > 0 or surplus(c["ambient_degc"], c) <= 0:
            continue
        c["steady_degc"] = scipy.optimize.brentq(surplus, c["ambient_degc"], 250.0, args=(c,), xtol=1e-12, rtol=1e-14)
        c["start_degc"] = float(numpy.round(random.uniform(-40, 150), 1))
        c["capacity_j_per_mk"] = float(numpy.round(2.5e6 * area, 1))
        c["duration_s"] = float(numpy.round(10 ** random.uniform(1, 4), 0))
        solution = scipy.integrate.solve_ivp(
            lambda _, y, c=c: [surplus(y[0], c) / c["capacity_j_per_mk"]],
            (0, c["duration_s"]),
            [c["start_degc"]],
            method="LSODA",
            rtol=1e-11,
            atol=1e-11,
        )
        c["end_degc"] = float(solution.y[0, -1])
        made += 1
        yield c


def main():
    random = numpy.random.default_rng(SEED)
    write("sun.csv", list(sun_rows(random)))
    write("air.csv", list(air_rows()))
    write("heat.csv", list(heat_rows(random)))


if __name__ == "__main__":
    main()
