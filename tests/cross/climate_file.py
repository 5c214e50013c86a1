"""The climate file of the tests, read by pvlib, and the sun over its place by pvlib's NREL solar position algorithm.

climate_file.csv   One row for each day of the file: means of air, wind and direction (sine and cosine, clockwise from north) over
                   its 24 rows, and, at the end of one hour that moves on by one each day, the air, wind and direction of that
                   row and the altitude (without refraction) and azimuth of the sun.

Usage: python climate_file.py   (writes ../data/cross/climate_file.csv; versions in requirements.txt)
"""

import csv
import pathlib

import numpy
import pandas
import pvlib

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "data"
FILE = FOLDER / "weather" / "pvgis-typical-year-45n-8e.epw"
YEAR = 2001
DELTA_T_S = 69.2


def rows():
    data, place = pvlib.iotools.read_epw(str(FILE), coerce_year=YEAR)
    assert len(data) == 8760
    for day in range(365):
        part = data.iloc[24 * day : 24 * day + 24]
        turn = numpy.radians(part["wind_direction"].to_numpy())
        hour = day % 24
        row = part.iloc[hour]
        # pvlib stamps a row with the beginning of its hour; the value stands at the end.
        at = part.index[hour] + pandas.Timedelta(hours=1)
        sun = pvlib.solarposition.spa_python(
            pandas.DatetimeIndex([at]),
            place["latitude"],
            place["longitude"],
            altitude=place["altitude"],
            delta_t=DELTA_T_S,
            atmos_refract=0,
        ).iloc[0]
        yield {
            "day": day,
            "mean_air_degc": part["temp_air"].mean(),
            "mean_wind_m_per_s": part["wind_speed"].mean(),
            "mean_from_sine": numpy.sin(turn).mean(),
            "mean_from_cosine": numpy.cos(turn).mean(),
            "hour": hour,
            "unix_s": int(at.timestamp()),
            "air_degc": row["temp_air"],
            "wind_m_per_s": row["wind_speed"],
            "from_deg": row["wind_direction"],
            "altitude_deg": sun["elevation"],
            "azimuth_deg": sun["azimuth"],
        }


def main():
    found = list(rows())
    with (FOLDER / "cross" / "climate_file.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(found[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(found)


if __name__ == "__main__":
    main()
