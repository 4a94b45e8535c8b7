"""Writes the demonstration's tables of entries and plantings.

All invented. Run `python3 demo/make_tables.py` from the project's folder; it needs nothing but Python and
always writes the same bytes. The set-up tables (trial, arms, tanks, equipment, ...) are written by hand.

How the numbers are made:
- Covers, heights and film follow pictures/truth.csv, what the renderer of the pictures knows, laid
  log-linearly between its weeks. Cover by eye is that rounded to 5 %, heights are rounded to 0.5 cm.
- Fresh mass is cover times a fixed number of grams for each percent, with 5 % scatter.
- Nitrate and phosphate follow a daily budget of each tank: doses, tablets (a sixth of which leaks out
  of the sand within two weeks), nutrient layer, food, tap water, changes, and uptake that grows with
  the plants' cover. A reading is the budget's value times log-normal scatter of 12 %, seen on the card.
"""

import csv
import json
import math
import random
from datetime import date, timedelta
from pathlib import Path

HERE = Path(__file__).parent
RANDOM = random.Random(20260202)
WEEK0 = date(2026, 2, 2)
PEOPLE = ["Mira", "Jonas", "Tove", "Emre"]

# One measure, mg: 5 ml of evening mix or one tablet is 0.24 g KNO3 and 0.024 g KH2PO4.
NO3_PER_MEASURE = 240 * 0.61328
PO4_PER_MEASURE = 24 * 0.69788
CARDS = {"no3": [0, 3, 6, 12, 24, 48], "po4": [0, 0.06, 0.15, 0.3, 0.6, 1.2, 3]}
PLANTS = {
    "carpet": "Eleocharis acicularis",
    "stem": "Bacopa caroliniana",
    "red": "Rotala rotundifolia",
    "rosette": "Cryptocoryne wendtii",
    "floating": "Salvinia natans",
}
GRAMS_PER_COVER = {"carpet": 0.9, "stem": 1.6, "red": 1.2, "rosette": 1.5, "floating": 0.7}


# ---------------------------------------------------------------- what the renderer knows


def read_truth():
    truth = {}
    with open(HERE / "pictures" / "truth.csv", encoding="utf-8") as f:
        for row in csv.DictReader(f):
            truth.setdefault(row["tank"].capitalize(), {})[int(row["week"])] = {
                k: float(v) for k, v in row.items() if k not in ("tank", "week", "day")
            }
    return truth


TRUTH = read_truth()


def truth_at(tank, week, key):
    """Log-linear between the pictures' weeks; before the first, back along the first slope."""
    weeks = sorted(TRUTH[tank])
    after = next((w for w in weeks if w >= week), weeks[-1])
    before = max((w for w in weeks if w <= week), default=weeks[0])
    if before == after:
        if week < weeks[0]:
            before, after = weeks[0], weeks[1]
        else:
            return TRUTH[tank][before][key]
    a, b = TRUTH[tank][before][key], TRUTH[tank][after][key]
    if a <= 0 or b <= 0:
        return a + (b - a) * (week - before) / (after - before)
    return math.exp(math.log(a) + (math.log(b) - math.log(a)) * (week - before) / (after - before))


def cover(tank, week, zone):
    if zone == "floating":
        return 14 + 5 * math.sin(0.9 * week + len(tank) + ord(tank[0]))
    return truth_at(tank, week, zone + "_cover_pct")


def height(tank, week, zone):
    return truth_at(tank, week, zone + "_height_cm")


def fresh(tank, week, zone):
    return GRAMS_PER_COVER[zone] * cover(tank, week, zone) * math.exp(RANDOM.gauss(0, 0.05))


# ---------------------------------------------------------------- writing


def text(value):
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.4f}".rstrip("0").rstrip(".")
    return str(value)


class Table:
    def __init__(self, columns):
        self.columns, self.rows = columns.split(), []

    def add(self, day, time, **cells):
        unknown = set(cells) - set(self.columns)
        if unknown:
            raise SystemExit(f"no such column: {unknown}")
        self.rows.append({"day": day.isoformat(), "time": time, **cells})

    def write(self, path):
        # Rows of one minute keep the order in which they were added.
        self.rows.sort(key=lambda r: (r["day"], r["time"]))
        with open(path, "w", encoding="utf-8", newline="") as f:
            out = csv.writer(f, lineterminator="\n")
            out.writerow(self.columns)
            for row in self.rows:
                out.writerow([text(row.get(c)) for c in self.columns])


COLUMNS = {
    "log": "day time line who minutes note key corrects written",
    "tests": "day time tank water analyte card seen error means lot opened expires who minutes note",
    "observations": "day time tank plant label vigour new_leaf density colour height_cm spread_cm node_cm"
    " cover_pct signs who minutes note key",
    "algae": "day time tank film_pane film_plants film_substrate thread_plants who note",
    "cuts": "day time act tank plant kept_share out_fresh_g dried_fresh_g dried_dry_g who minutes note key",
    "replants": "day time tank plant into_label count fresh_g who minutes note",
    "harvests": "day time tank plant label fresh_g dry_g fate who minutes note",
    "livestock": "day time tank event species count who note",
    "losses": "day time tank plant whole stems who note",
    "settings": "day time tank temperature_c light_h dimming_pct who note",
    "swaps": "day time tank left came price_eur equipment who minutes note",
    "pictures": "day time tank file width_px height_px who note",
}


def tables():
    return {name: Table(columns) for name, columns in COLUMNS.items()}


def person(week):
    return PEOPLE[week % len(PEOPLE)]


def on_card(analyte, value):
    """What a person sees: the nearest step, or between two when it is near their middle."""
    steps = CARDS[analyte]
    seen = value * math.exp(RANDOM.gauss(0, 0.12))
    if seen >= steps[-1]:
        return f"at least {text(float(steps[-1]))}"
    for low, high in zip(steps, steps[1:]):
        if low <= seen < high:
            share = (seen - low) / (high - low)
            if 0.35 < share < 0.65:
                return f"{text(float(low))}-{text(float(high))}"
            return text(float(low if share < 0.5 else high))
    return "0"


def half(value, low=0.0, high=10.0):
    return round(min(max(value, low), high) * 2) / 2


# ---------------------------------------------------------------- trial 1

TANKS = {"Ash": "sand", "Elm": "water", "Fir": "water", "Oak": "sand"}
VOLUME_L = 60 * 30 * (33 - 5.8 * 0.6) / 1000


def day_of(week, weekday=0):
    return WEEK0 + timedelta(days=7 * week + weekday)


def doses(tank, day):
    """Measures of evening mix and of tablets given on a day."""
    week, weekday = divmod((day - WEEK0).days, 7)
    if weekday not in (0, 3) or week == 7 or week < -2 or week >= 16:
        return 0.0, 0
    tablets_due = weekday == 0 and week % 2 == 0
    if week < 4:
        return 0.5, 2 if tablets_due else 0
    if TANKS[tank] == "sand":
        return 0.0, 4 if tablets_due else 0
    twice = tank == "Fir" and (week, weekday) == (9, 3)
    return (2.0 if twice else 1.0), 0


def change_share(tank, week):
    missed = week == 7 or (tank == "Oak" and week == 13)
    return 0.0 if missed or week >= 16 else 0.4


def budget(tank):
    """Nitrate and phosphate, mg/L, in the morning of each day."""
    values = {}
    no3, po4, in_sand = 8.0, 0.2, []
    for step in range((day_of(16) - day_of(-6)).days + 1):
        day = day_of(-6) + timedelta(days=step)
        week, weekday = divmod((day - WEEK0).days, 7)
        values[day] = (no3, po4)
        if weekday == 0 and step:
            share = change_share(tank, week)
            no3, po4 = no3 + share * (9.0 - no3), po4 + share * (0.08 - po4)
        mix, tablets = doses(tank, day)
        if tablets:
            in_sand.append([14, tablets])
        leak = sum(n for left, n in in_sand if left > 0) / 14 / 6
        in_sand = [[left - 1, n] for left, n in in_sand if left > 1]
        measures = mix + leak
        layer = math.exp(-step / 60)
        no3 += (NO3_PER_MEASURE * measures + 14 * layer + 10) / VOLUME_L
        po4 += (PO4_PER_MEASURE * measures + 0.9 * layer + 0.9) / VOLUME_L
        plants = sum(cover(tank, step / 7 - 6, z) for z in PLANTS) / 100
        no3 *= math.exp(-1.7 * plants / (no3 + 8.0))
        po4 *= math.exp(-0.075 * plants / (po4 + 0.15))
    return values


BUDGET = {tank: budget(tank) for tank in TANKS}


def weekly_chores(t, week):
    who, log = person(week), t["log"]
    monday, thursday = day_of(week), day_of(week, 3)
    if -6 < week < 16 and week != 7:
        if week == 13:
            log.add(monday, "17:00", line="ash, elm, fir: change 40% with tap", who=who, minutes=40,
                    note="The hose split before Oak's turn; Oak went without this week")
        else:
            log.add(monday, "17:00", line="change 40% with tap", who=who, minutes=48 + RANDOM.randint(-6, 8))
        if week < 8:
            log.add(monday, "17:50", line="clean pane", who=who, minutes=8)
        log.add(monday, "17:58", line="dose iron solution 2.5 ml", who=who, minutes=2)
        log.add(thursday, "17:30", line=f"topup {RANDOM.choice(['1', '1.2', '1.5'])} l rain", who=who, minutes=6)
    for weekday in (0, 3):
        feed_and_dose(t, week, weekday)
    if -1 <= week < 16 and week != 7:
        for weekday, when in ((0, "18:20"), (2, "16:00"), (4, "15:30")):
            if week == -1 and weekday < 4:
                continue  # The fish came on that week's Friday.
            log.add(day_of(week, weekday), when, line="feed flakes 0.15 g", who=who, minutes=2)


def feed_and_dose(t, week, weekday):
    who, log, day = person(week), t["log"], day_of(week, weekday)
    if week < 4:
        mix, tablets = doses("Ash", day)
        if tablets:
            log.add(day, "18:00", line="dose root tablet 2 pieces", who=who, minutes=8)
        if mix:
            log.add(day, "18:10", line="dose evening mix 2.5 ml", who=who, minutes=4)
        return
    mix, _ = doses("Elm", day)
    _, tablets = doses("Ash", day)
    if tablets:
        log.add(day, "18:00", line="ash, oak: dose root tablet 4 pieces", who=who, minutes=9,
                key="first-tablets" if week == 4 else None)
    if mix:
        key = "first-mix" if (week, weekday) == (4, 0) else None
        log.add(day, "18:10", line="elm, fir: dose evening mix 5 ml", who=who, minutes=3, key=key)


def weekly_cards(t, week):
    if week < 0 or week == 7:
        return
    who, monday = person(week), day_of(week)
    for i, tank in enumerate(TANKS):
        no3, po4 = BUDGET[tank][monday]
        t["log"].add(monday, f"16:{5 * i:02d}", line=f"{tank.lower()}: read no3 {on_card('no3', no3)}", who=who, minutes=5)
        if (tank, week) == ("Oak", 11):
            t["tests"].add(monday, "16:17", tank="Oak", analyte="po4", card="phosphate card", seen="at least 3",
                           lot="old bottle from the cupboard", opened="2024-03-04", expires="2025-11-30", who=who,
                           minutes=5, note="Cannot be right: the old bottle was used up first; the new one only came on Thursday")
            continue
        if (tank, week) == ("Fir", 3):
            seen = on_card("po4", po4)
            t["log"].add(monday, "16:12", line="fir: read po4 3", who=who, minutes=5, key="slip")
            t["log"].add(monday, "16:12", line=f"fir: read po4 {seen}", who=who, minutes=5,
                         note="Typed 3 by mistake; this is what the card showed", corrects="slip",
                         written="2026-02-23 19:40")
            continue
        t["log"].add(monday, f"16:{5 * i + 2:02d}", line=f"{tank.lower()}: read po4 {on_card('po4', po4)}", who=who, minutes=5)


def monthly_tests(t, week):
    if week % 4:
        return
    who, monday = person(week), day_of(week)
    for i, tank in enumerate(TANKS):
        bump = 0.1 if TANKS[tank] == "water" and week > 4 else 0.0
        for analyte, value, error in (
            ("kh", 5 - (week > 8), 0.5),
            ("gh", 8 + RANDOM.choice([0, 0, 1]), 0.5),
            ("ph", round(7.3 + bump + RANDOM.gauss(0, 0.05), 1), 0.1),
            ("temperature", round(24 + RANDOM.gauss(0, 0.2), 1), 0.2),
        ):
            t["tests"].add(monday, f"15:{30 + 5 * i}", tank=tank, analyte=analyte, seen=text(value), error=error, who=who, minutes=2)


def source_waters(t):
    for week, no3, po4 in ((-6, "6-12", "0.06"), (4, "12", "0.06-0.15"), (12, "6-12", "0.06")):
        who, day = person(week), day_of(week)
        add = lambda **cells: t["tests"].add(day, "15:20", water="tap", who=who, minutes=3, **cells)
        add(analyte="no3", card="nitrate card", seen=no3)
        add(analyte="po4", card="phosphate card", seen=po4)
        add(analyte="kh", seen="5", error=0.5)
        add(analyte="gh", seen="8", error=0.5)
        add(analyte="ph", seen="7.6", error=0.1)
    supplier = date(2025, 11, 3)
    for analyte, value in (("ca", "43"), ("mg", "8.6"), ("na", "11"), ("k", "2.1"), ("cl", "19"), ("so4", "31"), ("sio2", "7")):
        t["tests"].add(supplier, "12:00", water="tap", analyte=analyte, seen=value, error=round(0.1 * float(value), 2),
                       who="Mira", note="From the supplier's invented sheet; a tenth taken as its error")


def establishing(t):
    log, start = t["log"], day_of(-6)
    log.add(start - timedelta(days=3), "14:30", line="note The lot was drawn with seed 2, which the youngest member called out: Ash and Oak are sand-fed, Elm and Fir water-fed", who="Mira", minutes=10)
    log.add(start, "14:00", line="note Sand washed, tanks filled, everything planted with plants weighed out equally", who="Mira", minutes=300)
    nh4 = ["0.5-1", "0.5", "0.2-0.5", "0.2", "0", "0"]
    no2 = ["0", "0.1-0.3", "0.6", "0.3", "0.1", "0"]
    for step, week in enumerate(range(-6, 0)):
        for i, tank in enumerate(TANKS):
            # Fir's filter matured a little later than the others.
            late = max(step - 1, 0) if tank == "Fir" and step < 5 else step
            for analyte, seen in (("nh4", nh4[late]), ("no2", no2[late])):
                card = {"nh4": "ammonium card", "no2": "nitrite card"}[analyte]
                # The first cards were read two days after planting, the last on a Thursday.
                day = day_of(week, 2) if week == -6 else day_of(week, 3 if week == -1 else 0)
                t["tests"].add(day, f"16:{4 * i:02d}", tank=tank, analyte=analyte, card=card, seen=seen, who=person(week), minutes=4)
    for tank in TANKS:
        t["livestock"].add(day_of(-3, 4), "16:00", tank=tank, event="arrival", species="ramshorn snail", count=6, who="Tove")
        t["livestock"].add(day_of(-1, 4), "15:00", tank=tank, event="arrival", species="small shoaling fish", count=6, who="Mira",
                           note="Ammonium and nitrite read zero in every tank the day before")
    log.add(day_of(-5, 2), "11:00", line="note Holidays: the caretaker looked in every second day", who="Mira")


def observations(t, week):
    if not 0 <= week <= 16 or week % 2:
        return
    who, monday = person(week), day_of(week)
    full = week % 4 == 0
    for i, tank in enumerate(TANKS):
        fed = TANKS[tank] == "water" and week > 4
        for j, (zone, plant) in enumerate(PLANTS.items()):
            base = {"carpet": 6.5, "stem": 7.5, "red": 6.5, "rosette": 6.0, "floating": 7.5}[zone]
            gain = {"carpet": 1.0, "stem": 0.5, "red": 0.7, "rosette": 0.0, "floating": 0.4}[zone] if fed else 0.0
            hurt = 1.0 if tank == "Elm" and week == 12 and zone == "rosette" else 0.0
            score = lambda extra=0.0: half(base + gain + extra - hurt + RANDOM.gauss(0, 0.5))
            cells = {"vigour": score(), "new_leaf": score(0.3)}
            if week == 12 and hurt:
                cells["signs"] = "two older leaves melted"
            if full:
                cells.update(density=half(cover(tank, week, zone) / 9 + 1 + RANDOM.gauss(0, 0.4)))
                cells.update(colour=score(-0.5 if zone == "red" else 0.0))
                cells.update(measures(tank, week, zone))
            minute = 30 + 5 * i + j
            t["observations"].add(monday, f"16:{minute:02d}", tank=tank, plant=plant, who=who, minutes=2 if full else 1, **cells)


def measures(tank, week, zone):
    cells = {}
    if zone != "floating":
        cells["height_cm"] = round(height(tank, week, zone) * 2) / 2
    if zone == "carpet":
        cells["height_cm"] = round(height(tank, week, zone), 1)
    if zone in ("carpet", "floating"):
        cells["cover_pct"] = 5 * round(cover(tank, week, zone) / 5)
    if zone in ("stem", "red"):
        cells["node_cm"] = round({"stem": 1.9, "red": 1.4}[zone] * math.exp(RANDOM.gauss(0, 0.08)), 1)
    if zone == "rosette":
        cells["spread_cm"] = round(1.7 * height(tank, week, zone) + RANDOM.gauss(0, 0.4), 1)
    return cells


def film_scores(t, week):
    if not 0 <= week <= 16 or week % 2:
        return
    for i, tank in enumerate(TANKS):
        opacity = truth_at(tank, week, "film_opacity_pct")
        pane = 0 if opacity <= 0 else 1 if opacity < 4 else 2 if opacity < 12 else 3
        faint = "Felt with a finger, hardly seen" if week == 10 and pane else None
        t["algae"].add(day_of(week), f"16:{50 + i}", tank=tank, film_pane=pane, film_plants=max(pane - 1, 0),
                       film_substrate=0, thread_plants=1 if (tank, week) in (("Oak", 6), ("Elm", 14)) else 0,
                       who=person(week), note=faint)


def pictures(t):
    for week in (0, 4, 8, 9, 12, 16):
        for i, tank in enumerate(TANKS):
            t["pictures"].add(day_of(week), f"16:{55 + i}", tank=tank, file=f"{tank.lower()}-w{week:02d}.jpg", width_px=1200, height_px=800, who=person(week),
                              note="Before the trim" if week == 8 else None)


def week_eight_trim(t):
    day, who = day_of(8), person(8)
    t["log"].add(day, "17:55", key="pane-alone", who=who, minutes=2,
                 line="note From today the front panes are left alone; before each picture only a square of 4 cm is wiped")
    for i, tank in enumerate(TANKS):
        out = {}
        for j, zone in enumerate(("stem", "red")):
            share = cover(tank, 9, zone) * 0.95 / cover(tank, 8, zone)
            out[zone] = round((1 - share) * fresh(tank, 8, zone), 1)
            dried = {"dried_fresh_g": 10.0, "dried_dry_g": 0.78 if zone == "stem" else 1.04} if tank == "Elm" else {}
            t["cuts"].add(day, f"19:{10 * i + 2 * j:02d}", act="trim", tank=tank, plant=PLANTS[zone],
                          kept_share=round(share * 20) / 20, out_fresh_g=out[zone], who=who, minutes=9,
                          key=f"trim-{tank.lower()}" if zone == "stem" else None,
                          note="A subsample was dried at 60 degrees for two days" if dried else None, **dried)
        t["replants"].add(day, f"19:{10 * i + 5:02d}", tank=tank, plant=PLANTS["red"], count=4,
                          fresh_g=round(4 * 0.55 * math.exp(RANDOM.gauss(0, 0.1)), 1), who=who, minutes=4)
        if tank in ("Elm", "Oak"):
            t["replants"].add(day, f"19:{10 * i + 7:02d}", tank=tank, plant=PLANTS["stem"], into_label="second lot", count=3,
                              fresh_g=SECOND_LOT_G[tank], who=who, minutes=4, note="Beside the bush, as a lot of its own")


SECOND_LOT_G = {"Elm": 4.6, "Oak": 4.4}


def thinning(t):
    for week in range(-1, 16, 3):
        if week == 8:
            continue
        for i, tank in enumerate(TANKS):
            t["cuts"].add(day_of(week, 3), f"17:{10 + 4 * i}", act="thin", tank=tank, plant=PLANTS["floating"],
                          kept_share=RANDOM.choice([0.5, 0.6, 0.7]), out_fresh_g=round(4 + RANDOM.random() * 5, 1),
                          who=person(week), minutes=3)


def the_mess(t):
    log = t["log"]
    log.add(day_of(8), "15:10", line="note Half-term: nothing was done from the 21st to the 29th; the caretaker fed the fish twice", who="Jonas", minutes=0)
    log.add(day_of(9, 3), "18:25", line="fir: dose evening mix 5 ml", who="Emre", minutes=1,
            note="Dosed a second time by somebody who had not seen the sheet")
    t["tests"].add(day_of(10, 1), "18:00", tank="Elm", analyte="temperature", seen="26.1", error=0.2, who="Tove", minutes=2,
                   note="The heater's switch sticks; the other tanks read 24")
    t["settings"].add(day_of(10, 1), "18:05", tank="Elm", temperature_c=26, who="Tove", note="Not on purpose: the heater sticks two degrees high")
    t["settings"].add(day_of(10, 6), "11:00", tank="Elm", temperature_c=24, who="Mira", note="New heater")
    t["swaps"].add(day_of(10, 6), "11:00", tank="Elm", left="heater that stuck", came="heater of the same kind", price_eur=None,
                   equipment="Heater that replaced the stuck one", who="Mira", minutes=20)
    t["tests"].add(day_of(10, 6), "16:00", tank="Elm", analyte="temperature", seen="24.2", error=0.2, who="Mira", minutes=2)
    log.add(day_of(5, 3), "17:34", line="elm: topup 1 l rain", who="Jonas", key="twice-written")
    log.add(day_of(5, 3), "17:34", line="undo", who="Jonas", corrects="twice-written", written="2026-03-12 17:41",
            note="Written twice; Elm was topped up with the others")
    t["livestock"].add(day_of(6, 2), "16:00", tank="Oak", event="death", species="ramshorn snail", count=1, who="Tove", note="Empty shell; ammonium read zero")
    t["tests"].add(day_of(6, 2), "16:05", tank="Oak", analyte="nh4", card="ammonium card", seen="0", who="Tove", minutes=4)
    t["livestock"].add(day_of(11, 4), "15:30", tank="Fir", event="missing", species="small shoaling fish", count=1, who="Emre", note="Five counted")
    log.add(day_of(12, 0), "15:25", line="fir: note All six fish counted again", who="Mira")
    for i, (tank, flow, runners) in enumerate((("ash", 160, 2), ("elm", 150, 3), ("fir", 170, 2), ("oak", 165, 1))):
        log.add(day_of(6, 3), f"18:{20 + 5 * i}", line=f"{tank}: clean filter flow {flow} to 200 l/h", who="Tove", minutes=6)
        log.add(day_of(14, 0), f"16:{54 + i}", line=f"{tank}: plantlets cryptocoryne {runners}", who="Tove", minutes=1)
    log.add(day_of(14, 3), "18:30", line="note Oak's carpet reaches the front pane now, Ash's not yet", who="Jonas")


def closing(t):
    day, who = day_of(16), person(16)
    for i, tank in enumerate(TANKS):
        for j, (zone, plant) in enumerate(PLANTS.items()):
            grams = round(fresh(tank, 16, zone), 1)
            dry = {"carpet": 0.115, "stem": 0.078}.get(zone) if tank in ("Ash", "Elm") else None
            # Five grams were dried for the ratio; the rest went back.
            t["harvests"].add(day, f"{17 + i}:{10 * j:02d}", tank=tank, plant=plant, fresh_g=grams, fate="planted_back", who=who,
                              dry_g=round(grams * dry * math.exp(RANDOM.gauss(0, 0.04)), 2) if dry else None, minutes=10,
                              note="Dry mass reckoned from 5 g that were dried; the rest was planted back" if dry else None)
        if tank in SECOND_LOT_G:
            grams = round(SECOND_LOT_G[tank] * (2.9 if TANKS[tank] == "water" else 2.5), 1)
            t["harvests"].add(day, f"{17 + i}:55", tank=tank, plant=PLANTS["stem"], label="second lot", fresh_g=grams, fate="planted_back", who=who, minutes=4)
    t["log"].add(day, "21:10", line="note All weighed and planted back. Thanks to everybody who carried water", who=who)


def sand_or_water():
    t = tables()
    source_waters(t)
    establishing(t)
    for week in range(-6, 17):
        weekly_chores(t, week)
        weekly_cards(t, week)
        if week >= 0:
            monthly_tests(t, week)
        observations(t, week)
        film_scores(t, week)
    pictures(t)
    week_eight_trim(t)
    thinning(t)
    the_mess(t)
    closing(t)
    return t


# ---------------------------------------------------------------- trial 2

PAIR = {"Sill": (date(2026, 2, 2), "2"), "Shelf": (date(2026, 1, 26), "10")}


def pots_or_cuttings():
    t = tables()
    for tank, (planted, _) in PAIR.items():
        t["log"].add(planted, "15:00", line=f"{tank.lower()}: note Planted", who="Jonas", minutes=50)
        t["livestock"].add(date(2026, 2, 6), "15:00", tank=tank, event="arrival", species="ramshorn snail", count=4, who="Jonas")
    for week in range(-1, 9):
        day, who = day_of(week), person(week + 1)
        here = [tank for tank, (planted, _) in PAIR.items() if planted < day]
        names = "" if len(here) == 2 else ", ".join(here).lower() + ": "
        if here and week < 8:
            t["log"].add(day, "16:40", line=f"{names}change 30% with tap", who=who, minutes=12 * len(here))
        for tank in here:
            if week < 8:
                t["log"].add(day, "17:00", line=f"{tank.lower()}: dose evening mix {PAIR[tank][1]} ml", who=who, minutes=1)
            level = (7.5 if tank == "Sill" else 6.5) - 0.25 * week
            t["log"].add(day, "16:20", line=f"{tank.lower()}: read no3 {on_card('no3', level)}", who=who, minutes=5)
        if week >= 0:
            pair_looks(t, week, day, who)
    t["losses"].add(date(2026, 2, 18), "16:00", tank="Sill", plant=PLANTS["stem"], whole="false", stems=2, who="Emre",
                    note="Two of the potted stems had melted at the base")
    t["log"].add(date(2026, 2, 20), "16:00", line="note Sill has the morning sun now and then; Shelf never", who="Tove")
    return t


def pair_looks(t, week, day, who):
    for i, tank in enumerate(PAIR):
        settled = min(max((week + (1 if tank == "Shelf" else -1)) / 5, 0), 1)
        cells = {"vigour": half(4 + 4 * settled + RANDOM.gauss(0, 0.4)), "new_leaf": half(3 + 5 * settled + RANDOM.gauss(0, 0.4))}
        if tank == "Sill" and week in (1, 2):
            cells["signs"] = "old leaves melting"
        cells["height_cm"] = round(height(tank, week, "stem") * 2) / 2
        key = "last-look" if (tank, week) == ("Shelf", 8) else None
        t["observations"].add(day, f"16:{30 + i}", tank=tank, plant=PLANTS["stem"], who=who, minutes=3, key=key, **cells)
        if week % 4 == 0:
            for zone in ("carpet", "red", "rosette"):
                extra = {"height_cm": round(height(tank, week, zone), 1)}
                if zone == "carpet":
                    extra["cover_pct"] = 5 * round(cover(tank, week, zone) / 5)
                t["observations"].add(day, f"16:{34 + i}", tank=tank, plant=PLANTS[zone], who=who, minutes=2, **extra)
            t["pictures"].add(day, f"16:{55 + i}", tank=tank, file=f"{tank.lower()}-w{week:02d}.jpg", width_px=1200, height_px=800, who=who)
            opacity = truth_at(tank, week, "film_opacity_pct")
            t["algae"].add(day, f"16:{50 + i}", tank=tank, film_pane=0 if opacity <= 0 else 1 if opacity < 4 else 2, who=who)


# ---------------------------------------------------------------- plantings

NAMES = {
    "carpet": "needle spikerush",
    "stem": "blue waterhyssop",
    "red": "dwarf rotala",
    "rosette": "Wendt's water trumpet",
    "floating": "floating watermoss",
}


def zone_text(zones, zone):
    return "; ".join(f"{text(float(x))} {text(float(y))}" for x, y in zones[zone]["polygon_cm"]) if zone in zones else ""


def plantings(tank_names, pair):
    marks = {m["tank"].capitalize(): m["zones"] for m in json.loads((HERE / "pictures" / "marks.json").read_text())}
    rows = []
    for tank in tank_names:
        for zone, plant in PLANTS.items():
            planted = PAIR[tank][0] if pair else day_of(-6)
            grams = {"carpet": 12.0, "stem": 8.0, "red": 4.0, "rosette": 7.0, "floating": 3.0}[zone]
            form, grown, stems, mass = "division", "water", None, round(grams * math.exp(RANDOM.gauss(0, 0.015)), 1)
            if zone in ("stem", "red"):
                form, stems = "cuttings", 12 if zone == "stem" else 10
            if pair and zone == "stem":
                form, grown = ("pot", "air") if tank == "Sill" else ("cuttings", "water")
                stems = 9 if tank == "Sill" else 15
            if pair:
                mass = None
            rows.append(dict(tank=tank, plant=plant, common_name=NAMES[zone], label="", planted=planted, form=form, grown_in=grown,
                             batch="garden centre" if pair else "one delivery for all four tanks",
                             quarantine="rinsed; a week in a bucket" if not pair else "rinsed",
                             stems=stems, fresh_g=mass, divided="" if pair else "weighed out equally, then by lot",
                             parent="", zone_cm=zone_text(marks[tank], zone), floating=str(zone == "floating").lower()))
    if not pair:
        for tank, grams in SECOND_LOT_G.items():
            rows.append(dict(tank=tank, plant=PLANTS["stem"], common_name=NAMES["stem"], label="second lot", planted=day_of(8),
                             form="cuttings", grown_in="water", batch="", quarantine="", stems=3, fresh_g=grams, divided="",
                             parent="first", zone_cm="23.5 10.6; 25.8 10.6; 25.8 20; 23.5 20", floating="false"))
    return rows


def write(folder, t, planted):
    for name, table in t.items():
        if table.rows:
            table.write(HERE / folder / f"{name}.csv")
    with open(HERE / folder / "plantings.csv", "w", encoding="utf-8", newline="") as f:
        out = csv.DictWriter(f, list(planted[0]), lineterminator="\n")
        out.writeheader()
        out.writerows([{k: text(v) for k, v in row.items()} for row in planted])


write("sand-or-water", sand_or_water(), plantings(TANKS, False))
write("pots-or-cuttings", pots_or_cuttings(), plantings(PAIR, True))
