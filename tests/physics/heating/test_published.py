"""Heating times beside printed ones: Wood Handbook Tables 20-4 and 20-8, and slash pine. Nothing here was fitted.

Diffusivity comes from weight and moisture, the surface from the two bulbs. The allowed 15 % was written down before
the comparison; rows that leave it are named below and stay named.
"""

import math
from dataclasses import replace

import pytest
from physics.heating.reference import TIMES, WOODS, F, green

from kilnlib.physics.heating import Piece, face, heat_diffusivity_m2s, minutes_to_core, minutes_wet
from kilnlib.physics.wood import species
from kilnlib.units import IN_M

ALLOWED = 0.15
CORE_C = F(133)
TABLE_20_4 = [row for row in TIMES if "20-4" in row["source"]]
TABLE_20_8 = [row for row in TIMES if "20-8" in row["source"]]
# Printed over ours, as `minutes_to_core` says it.
INVERSE = {"4 x 4": (1.1, 1.6), "6 x 6": (1.1, 1.3), "8 x 8": (0.9, 1.2), "10 x 10": (0.8, 1.1)}


def row_id(row):
    return f"{row['species']} {row['size_in']} depression {row['depression_f']} from {row['start_f']}"


def ratio(row):
    """Our minutes over the printed ones: the wet face sits at the wet bulb."""
    thick, wide = (float(part) for part in row["size_in"].split(" x "))
    surface = float(row["air_f"]) - float(row["depression_f"])
    ours = minutes_to_core(green(row["species"], thick, wide), CORE_C, F(float(row["start_f"])), F(surface))
    return ours / float(row["minutes"])


def misses(table):
    """Rows that leave what is allowed, each ratio printed (pytest -s)."""
    out = {}
    for row in table:
        times = ratio(row)
        beyond = abs(times - 1.0) > ALLOWED
        print(f"{times:5.2f}  {'MISS' if beyond else '    '}  {row_id(row)}, printed {row['minutes']} min")
        if beyond:
            out[row_id(row)] = times
    return out


def test_steam_is_within_15_percent():
    steam = [row for row in TABLE_20_4 if row["depression_f"] == "0"]
    assert len(steam) >= 15 and not misses(steam)


def test_ten_degrees_of_depression():
    """All but four of basswood; these four come out late, on the side that errs toward more heat."""
    drier = [row for row in TABLE_20_4 if row["depression_f"] == "10"]
    out = misses(drier)
    assert len(drier) >= 20
    assert set(out) == {f"basswood {size} depression 10 from 60" for size in ("1.5 x 6", "3 x 3", "4 x 4", "6 x 6")}
    assert all(1.15 < times < 1.23 for times in out.values())


def test_the_misprint():
    """Aspen 6 x 6 at 10 °F: an upper bound below the mean, alone among all rows."""
    wrong = [row for row in TIMES if row["upper_99_minutes"] and float(row["upper_99_minutes"]) < float(row["minutes"])]
    assert [row_id(row) for row in wrong] == ["aspen 6 x 6 depression 10 from 60"]
    assert wrong[0]["upper_99_minutes"] == "195" and "misprint" in wrong[0]["note"]
    assert abs(ratio(wrong[0]) - 1.0) <= ALLOWED  # its mean is sound


def test_ponderosa_squares_ask_for_more():
    """Table 20-8 is a regression in which time grows with size to the power 1.6, where conduction says 2.

    So small squares take longer in it than here, and the largest from 60 °F take less. That is said to the learner:
    go by the printed table and its upper bound (`pine_square_minutes`). No row of ours passes that bound.
    """
    out = misses(TABLE_20_8)
    by_size = {
        size: [row_id(row) for row in TABLE_20_8 if row["size_in"] == size]
        for size in ("4 x 4", "6 x 6", "8 x 8", "10 x 10")
    }
    missed = {size: sum(name in out for name in names) for size, names in by_size.items()}
    print({size: f"{len(names) - missed[size]} of {len(names)} within" for size, names in by_size.items()})
    assert min(out.values()) > 0.6 and max(out.values()) < 1.3
    for size, (least, most) in INVERSE.items():
        inverse = [1.0 / ratio(row) for row in TABLE_20_8 if row["size_in"] == size]
        assert (round(min(inverse), 1), round(max(inverse), 1)) == (least, most), size
    for row in TABLE_20_8:
        assert ratio(row) * float(row["minutes"]) < float(row["upper_99_minutes"])
    printed = {
        row["size_in"]: float(row["minutes"])
        for row in TABLE_20_8
        if row["depression_f"] == "2" and row["start_f"] == "40"
    }
    power = math.log(printed["10 x 10"] / printed["4 x 4"]) / math.log(10 / 4)
    assert power == pytest.approx(1.6, abs=0.05)


def test_diffusivity_comes_from_weight_and_moisture():
    """The five hardwoods of Table 20-4: what the printed times ask for is not put in."""
    for name in list(WOODS)[:5]:
        wood = species(WOODS[name])
        ours = heat_diffusivity_m2s(wood.specific_gravity, wood.green_average_pct) / IN_M**2
        assert 2.2e-4 < ours < 2.35e-4, name


def slash(size, depression):
    (row,) = [
        row
        for row in TIMES
        if "green" in row["species"] and row["size_in"].startswith(size) and row["depression_f"] == depression
    ]
    return float(row["minutes"])


def test_slash_pine_in_steam():
    """The abstract tells no start; 60 °F is taken. The 1.8-in board is within 15 %, the 1.0-in one comes out early."""
    thick = minutes_to_core(green("slash pine, green", 1.8), CORE_C, F(60), F(160)) / slash("1.8", "near 0")
    thin = minutes_to_core(green("slash pine, green", 1.0), CORE_C, F(60), F(160)) / slash("1.0", "near 0")
    print(f"slash pine in steam, ours over printed: 1.8 in {thick:.2f}, 1.0 in {thin:.2f}")
    assert abs(thick - 1.0) <= ALLOWED
    assert 0.7 < thin < 1.0 - ALLOWED  # a miss, named


def test_slash_pine_at_50_degrees_of_depression():
    """The wet bulb is 110 °F: a wet face never lets the core to 133; it must dry first, and that takes hours."""
    board = green("slash pine, green", 1.0)
    wet = face(F(160), F(110), board.mc_pct)
    assert wet.wet_share == 1.0 and wet.surface_c == pytest.approx(F(110))
    assert minutes_to_core(board, CORE_C, F(60), wet.surface_c, wet.film_w_m2k) == math.inf
    dry = face(F(160), F(110), 6.0)
    after = Piece(board.thickness_m, specific_gravity=board.specific_gravity, mc_pct=20.0)
    ours = minutes_wet(board, F(160), F(110), dry.film_w_m2k)
    ours += minutes_to_core(after, CORE_C, F(110), dry.surface_c, dry.film_w_m2k)
    print(f"slash pine at 50 °F depression: {ours:.0f} min, printed {slash('1.0', '50'):.0f}")
    assert 0.5 < ours / slash("1.0", "50") < 2.0  # the order of size; air speed and moisture are not told


def test_dry_slash_pine():
    """9 to 23 min are printed for air-dried 1.0-in boards at 160 °F: between water that condenses and a plain film."""
    board = Piece(1.0 * IN_M, specific_gravity=0.54, mc_pct=12.0)
    quick, slow = (minutes_to_core(board, CORE_C, F(60), F(160), film) for film in (1000.0, 20.0))
    print(f"dry slash pine: {quick:.1f} min condensing, {slow:.1f} min at 20 W/m2K; printed 9 to 23")
    assert 9.0 < quick < 23.0 < slow < 1.3 * 23.0


def within_by_size(mc_pct=None, film_w_m2k=math.inf, later_min=0.0):
    """Rows of Table 20-8 within what is allowed, by size, with another moisture or film, or air that is hot later."""
    counts = dict.fromkeys(("4 x 4", "6 x 6", "8 x 8", "10 x 10"), 0)
    for row in TABLE_20_8:
        side = float(row["size_in"].split(" x ")[0])
        piece = green("ponderosa pine", side, side)
        piece = replace(piece, mc_pct=mc_pct or piece.mc_pct)
        surface = F(float(row["air_f"]) - float(row["depression_f"]))
        ours = minutes_to_core(piece, CORE_C, F(float(row["start_f"])), surface, film_w_m2k)
        ours += later_min
        counts[row["size_in"]] += abs(ours / float(row["minutes"]) - 1.0) <= ALLOWED
    return tuple(counts.values())


def test_no_property_in_print_makes_the_pine_squares_agree():
    """Looked for: moisture of heartwood and sapwood, start, and the film that heat and vapor share at a wet face.

    Heartwood at 40 % and sapwood at 148 % (Wood Handbook, FPL-GTR-190, Table 4-1) move the diffusivity by a tenth.
    The film of a wet face at 155 °F, 15 W/m²K for heat and by the Lewis relation some forty times as much with its
    vapor, is no hindrance. Only a film of about 30 W/m²K brings the small squares in, and then it loses the large
    ones: it would be fitted to this table, so it is not used. The nearest that a search over moisture, film and a
    kiln that comes up late finds is heartwood, a film of 60 and 40 minutes: 44 of 48, and neither of the two is in
    print. All 48 ask for one and a half times the diffusivity of heartwood and faces 6 °F under their wet bulb.
    """
    as_is = within_by_size()
    assert as_is == (1, 5, 7, 11)  # of 14, 12, 10 and 12
    assert within_by_size(40.0) == (0, 0, 3, 12) and within_by_size(148.0) == (2, 7, 9, 10)
    assert within_by_size(film_w_m2k=600.0)[0] == as_is[0]
    fitted = within_by_size(film_w_m2k=30.0)
    print(f"with a film of 30 W/m2K: {fitted} of (14, 12, 10, 12)")
    assert fitted[0] >= 12 and fitted[3] <= 6
    assert within_by_size(later_min=45.0) == (12, 12, 9, 9)
    assert sum(within_by_size(40.0, 60.0, 40.0)) == 44


def test_a_face_that_dries_on_the_way_would_only_be_further_off():
    """A face cannot be cooler than its wet bulb, where ours is from the first minute; dried, it climbs from there.

    With the face at the dry bulb all the time, as far as any climb can go, each row comes out earlier still, and all
    4 x 4 and 6 x 6 that miss are early already. So no rule for the face can mend them, and the start is printed.
    """
    for row in TABLE_20_8:
        assert ratio(row | {"depression_f": "0"}) < ratio(row)
    small = [ratio(row) for row in TABLE_20_8 if row["size_in"] in ("4 x 4", "6 x 6")]
    assert max(small) < 1.0
    dry = [ratio(row | {"depression_f": "0"}) for row in TABLE_20_8 if row["size_in"] == "4 x 4"]
    print(f"4 x 4 with the face at the dry bulb: {min(dry):.2f} to {max(dry):.2f} of the printed minutes")


def test_the_two_tables_of_the_handbook_disagree():
    """4 x 4 from 60 °F, both read off the page: pine in 6 °F of depression takes longer than any hardwood in 10.

    The pine's air is 3 °F hotter and its wet bulb 7 °F, so one surface rule cannot give both.
    """
    (pine,) = [
        float(row["minutes"])
        for row in TABLE_20_8
        if (row["size_in"], row["depression_f"], row["start_f"]) == ("4 x 4", "6", "60")
    ]
    hardwoods = [
        float(row["minutes"]) for row in TABLE_20_4 if (row["size_in"], row["depression_f"]) == ("4 x 4", "10")
    ]
    assert len(hardwoods) == 4 and pine > 1.14 * max(hardwoods)
