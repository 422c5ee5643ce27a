"""Checks an answer with paper and pencil: nothing of the service is used, nothing it says believed.

    python3 openapi/clients/check_answer.py request.json answer.json

Prints one line for each failure, with the name of the check that failed, and ends with 1; with
nothing to find it says so and ends with 0. Needs nothing but Python.

sticks    each stick is of a length that was sent, and pieces, cuts, trims and rest add up to it;
          each placed piece is cut from precisely one stick, and long enough for where it lies
money     what is ordered is what is cut; lines cost what their pieces do, plans what their sticks
stations  the pieces of a run meet from end to end, and joints said to be on framing lie on members
tiling    the faces of the pieces lie apart, in their courses, and cover what is said, to the digit
"""

import json
import re
import sys
from collections import Counter, defaultdict
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path

TICKS = {"in": 1_016_000, "ft": 12_192_000, "mm": 40_000, "cm": 400_000, "m": 40_000_000,
         "yd": 36_576_000}  # fmt: skip
"""A tick is 1/40 000 mm: an inch, a foot and a millimetre are whole numbers of them."""

SQUARE = {"ft2": TICKS["ft"] ** 2, "m2": TICKS["m"] ** 2}
VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
WRITTEN = re.compile(
    r"([\d./ -]*\d[\d./]*) ?"
    r"(yards?|yd|f(?:ee|oo)?t|inch(?:es)?|in|millimet(?:er|re)s?|mm|centimet(?:er|re)s?|cm"
    r"|met(?:er|re)s?|m|'|\"|′|’|″|”)"
)
UNIT_OF = {"'": "ft", "′": "ft", "’": "ft", '"': "in", "″": "in", "”": "in"}
STARTS = {"ya": "yd", "yd": "yd", "f": "ft", "in": "in", "mil": "mm", "mm": "mm", "ce": "cm",
          "cm": "cm", "m": "m"}  # fmt: skip


def ticks(value, unit):
    """The whole ticks of a number in `unit`, or of `8 ft`, `5-3/8 in`, `12' 6-1/2"`, `3.81 m`."""
    if not isinstance(value, str):
        return round(Fraction(str(value)) * TICKS[unit])
    text = value.lower()
    for sign, fraction in VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    total = Fraction(0)
    for amount, word in WRITTEN.findall(text):
        number = sum(map(Fraction, re.split(r"[ -]+", amount.strip(" -"))))
        named = UNIT_OF.get(word) or next(u for head, u in STARTS.items() if word.startswith(head))
        total += number * TICKS[named]
    return round(total)


class Job:
    """A request and its answer, with what is looked up in them."""

    def __init__(self, request, answer):
        self.request, self.answer = request, answer
        self.unit = answer["units"]["length"]
        self.give = -(-TICKS[self.unit] // 2_000_000) + 1  # lengths are printed to six decimals
        self.products = {row["id"]: row for row in request["products"]}
        self.pieces = {row["id"]: row for row in answer["pieces"]}
        self.layers = {(row["surface"], row["layer"]): row for row in answer["layers"]}
        self.members = {(row["surface"], row["member"]): row["line"] for row in answer["members"]}
        self.other_layers = [row for row in answer["layers"] if row["kind"] != "boarding"]
        straps = [row for row in self.other_layers if row["kind"] == "strapping"]
        self.straps = {row["surface"]: row for row in straps}
        self.ruled = {(row["at"], row["key"]): row["value"] for row in answer["basis"]}

    def ticks(self, value):
        """The ticks of a length of the answer."""
        return ticks(value, self.unit)

    def near(self, one, other, times=1):
        """Whether two lengths agree as far as they are printed."""
        return abs(one - other) <= times * self.give

    def rule(self, layer, key):
        """The value of a layer's rule as the answer says that it was used; None without one."""
        return self.ruled.get((f"{layer['surface']}.{layer['layer']}", key))

    def length_rule(self, layer, key):
        """The same of a length, ticks."""
        value = self.rule(layer, key)
        return None if value is None else self.ticks(value)

    def boards(self, table):
        """Rows of a table that are of layers of boards."""
        for row in self.answer[table]:
            if self.layers[row["surface"], row["layer"]]["kind"] == "boarding":
                yield row

    def layers_of(self, product):
        """The layers that are laid of a product."""
        return [row for row in self.layers.values() if row["product"] == product]

    def rows(self, product):
        """Its lengths that can be taken: (length, price or None, how many or None, ends, owned)."""
        sent = self.products[product]
        for name in ("stock", "owned"):
            for row in sent.get(name) or ():
                owned = name == "owned"
                price = 0 if owned else row.get("price")
                yield (
                    ticks(row["length"], self.request["unit"]),
                    None if price is None else Fraction(str(price)),
                    row["count"] if owned else row.get("on_hand"),
                    row.get("ends") or ("raw", "raw"),
                    owned,
                )

    def bearers(self, layer):
        """The centre lines of what a layer bears on, by number: members, or straps across them."""
        strap = self.straps.get(layer["surface"])
        if strap is None:
            return {n: self.members[layer["surface"], n] for n in layer["crosses"]}
        place = (layer["surface"], strap["layer"])
        courses = [row for row in self.answer["courses"]
                   if (row["surface"], row["layer"]) == place]  # fmt: skip
        return {row["course"]: _line(strap, (row["near"] + row["far"]) / 2) for row in courses}

    def by_run(self):
        """The pieces of each run, from its low end up."""
        found = defaultdict(list)
        for row in sorted(self.answer["pieces"], key=lambda row: row["from"]):
            found[row["run"]].append(row)
        return found


def _line(layer, across):
    """Two points of the surface on the line at a station across a layer."""
    return [
        [at + along * u + aside * across
         for at, along, aside in zip(layer["origin"], layer["along"], layer["across"], strict=True)]
        for u in (0, 100)
    ]  # fmt: skip


# --- sticks -----------------------------------------------------------------------------------


def sticks(job):
    """Sums of each stick, and that it yields the pieces that are placed, each once."""
    taken = Counter()
    backing = {name for row in job.answer["backing"] for name in row["pieces"]}
    for row in job.answer["sticks"]:
        names = [*row["pieces"], *(name for names in row["beside"] for name in names)]
        taken.update(names)
        yield from (f"{row['stick']}: {text}" for text in _stick(job, row))
        for name in names:
            if name not in job.pieces and name not in backing:
                yield f"{row['stick']}: {name} is placed nowhere"
            elif name in job.pieces and job.pieces[name]["stick"] != row["stick"]:
                yield f"{row['stick']}: {name} says that it is cut from {job.pieces[name]['stick']}"
    for row in job.answer["sheets"]:
        taken.update(row["pieces"])
    for name in sorted(job.pieces.keys() | backing):
        if taken[name] != 1:
            yield f"{name}: it is cut from {taken[name]} sticks"


def _stick(job, row):
    exact, cuts = row["ticks"], [job.ticks(cut) for cut in row["cuts"]]
    rows = [one for one in job.rows(row["product"])
            if one[0] == exact["length"] and one[4] == row["owned"]]  # fmt: skip
    if not rows:
        yield "it is of no length that was sent"
    if exact["length"] != sum(exact[name] for name in ("pieces", "kerf", "end_trim", "rest")):
        yield "pieces, cuts, trims and rest do not add up to its length"
    if min(exact.values()) < 0:
        yield "it yields more than it holds"
    if not job.near(sum(cuts), exact["pieces"], len(cuts)):
        yield "its cut lengths do not add up"
    yield from _yielded(job, row, cuts)
    for layer in job.layers_of(row["product"])[:1]:
        if job.products[row["product"]]["form"] == "board":
            yield from _sawn(job, layer, row, [ends for _, _, _, ends, _ in rows])


def _yielded(job, row, cuts):
    """The pieces of a stick are as long as they are cut, and no longer than what they lie in."""
    for name, cut, beside in zip(row["pieces"], cuts, row["beside"], strict=True):
        if name in job.pieces and not job.near(job.pieces[name]["ticks"], cut):
            yield f"{name} is cut to another length"
        for other in beside:
            if job.pieces[other]["ticks"] > job.pieces[name]["ticks"]:
                yield f"{other} is longer than {name}, out of which it is ripped"


def _sawn(job, layer, row, ends):
    """Cuts and trims of a stick by the rules of its product; `ends` are raw or cut."""
    kerf, exact = job.length_rule(layer, "kerf"), row["ticks"]
    between = kerf * (len(row["pieces"]) - 1)
    last = min(kerf, exact["length"] - exact["end_trim"] - exact["pieces"] - between)
    if exact["kerf"] != between + last:
        yield "its saw cuts take another length"
    one = trims(job, layer)
    either = ((one if end == "raw" else (0,) for end in two) for two in ends)
    if exact["end_trim"] not in {a + b for low, high in either for a in low for b in high}:
        yield "its ends are trimmed by what no rule says"


def trims(job, layer):
    """What a raw end loses at a joint, and where it is covered, ticks."""
    names = ("joint_trim", "wall_trim")
    if job.rule(layer, "joint_trim") is None:
        names = ("end_trim", "end_trim")
    return tuple(job.length_rule(layer, name) for name in names)


# --- money ------------------------------------------------------------------------------------


def money(job):
    """Counts and sums of the order, of its shares, and of the plans."""
    yield from _lines(job)
    yield from _shares(job)
    for row in job.answer["cut_plans"]:
        if job.products[row["product"]]["form"] in ("board", "lumber", "moulding"):
            yield from (f"{row['product']}: {text}" for text in _plan(job, row))


def _lines(job):
    cut = Counter(
        (row["product"], row["ticks"]["length"])
        for row in job.answer["sticks"]
        if not row["owned"] and job.products[row["product"]]["form"] != "roll"
    )
    ordered = Counter()
    for row in job.answer["order"]:
        name, sent = f"{row['product']}, {row['item']}", job.products[row["product"]]
        if row["buy"] < row["need"] + row["cull"] + row["spare"]:
            yield f"{name}: fewer are bought than are needed"
        if sent["form"] not in ("board", "lumber", "moulding"):
            continue
        length = job.ticks(row["length"])
        rows = [one for one in job.rows(row["product"]) if job.near(one[0], length) and not one[4]]
        prices = [None if one[1] is None else float(one[1] * row["buy"]) for one in rows]
        if not any(row["price"] == price or _alike(row["price"], price) for price in prices):
            yield f"{name}: {row['buy']} cost something else"
        for one in {one[0] for one in rows}:
            ordered[row["product"], one] += row["need"]
    for product, length in sorted(cut.keys() | ordered.keys()):
        if cut[product, length] != ordered[product, length]:
            yield (
                f"{product}, {length / TICKS[job.unit]:g} {job.unit}: {cut[product, length]} sticks"
                f" are cut, {ordered[product, length]} are ordered"
            )


def _alike(one, other, give=0.005):
    return one is not None and other is not None and abs(one - other) <= give


def _shares(job):
    """The lines of each product come to as much as what is shared out of them to surfaces."""
    for column in ("buy", "price"):
        sums = defaultdict(float)
        for row in job.answer["order"]:
            sums[row["product"]] += row[column] or 0
        for row in job.answer["order_shares"]:
            sums[row["product"]] -= row[column] or 0
        for product, left in sums.items():
            if abs(left) > 0.005 * len(job.answer["order_shares"]):
                yield f"{product}: what surfaces share in {column} is not what is ordered"


def _plan(job, row):
    """The cost of a plan: its sticks, and so much for each joint, less what kept rests count."""
    each = 1 if row["measured_in"] == "joints" else Fraction(str(row["joint_cost"]))
    cost = sum(_sticks(job, row), each * row["joints"]) - Fraction(str(row["rests"]))
    if abs(cost - Fraction(str(row["cost"]))) > Fraction(1, 1000):
        yield f"its sticks and joints cost {float(cost):g}, not {row['cost']:g}"
    if row["bound"] > row["cost"]:
        yield "it costs less than is said to be possible"


def _sticks(job, plan):
    """What the sticks of a plan cost, in the plan's measure; the cheapest of a length go first."""
    own = [row for row in job.answer["sticks"] if row["product"] == plan["product"]]
    left = Counter(row["ticks"]["length"] for row in own if not row["owned"])
    rows = [row for row in job.rows(plan["product"]) if not row[4]]
    for length, price, most, _, _ in sorted(rows, key=lambda row: row[1] or 0):
        taken = left[length] if most is None else min(left[length], most)
        left[length] -= taken
        yield stick_cost(job, plan, length, price) * taken


def stick_cost(job, plan, length, price):
    """What one stick costs in the measure of a plan."""
    if plan["measured_in"] == "money":
        return price
    each = {"length": Fraction(length, TICKS[job.unit]), "joints": Fraction(0)}
    return each.get(plan["measured_in"], Fraction(1))


# --- stations ---------------------------------------------------------------------------------


def stations(job):
    """The pieces of each run of boards meet from end to end, at its joints, on its bearings."""
    joints = {tuple(row["between"]): row for row in job.answer["joints"]}
    by_run = job.by_run()
    for run in job.boards("runs"):
        layer = job.layers[run["surface"], run["layer"]]
        own, met = by_run[run["id"]], []
        ends = [run["from"], *(piece["to"] for piece in own)]
        starts = [*(piece["from"] for piece in own), run["to"]]
        if not all(job.near(job.ticks(a), job.ticks(b)) for a, b in zip(ends, starts, strict=True)):
            yield f"{run['id']}: its pieces do not meet from end to end"
        for low, high in pairwise(own):
            joint = joints.pop((low["id"], high["id"]), None)
            if joint is None or not job.near(job.ticks(joint["at"]), job.ticks(low["to"])):
                yield f"{run['id']}: the joint of {low['id']} and {high['id']} is not listed"
            else:
                met.append(joint)
        yield from (f"{run['id']}: {text}" for one in met for text in _borne(job, layer, run, one))
        yield from (f"{piece['id']}: {text}" for piece in own for text in _long(job, layer, piece))


def _borne(job, layer, run, joint):
    """A joint on framing lies where its member crosses the run."""
    if joint["on"] != "framing":
        return
    at, give = job.ticks(joint["at"]), 4 * job.give
    number = joint["bearing"]
    if number is None or not 0 < number <= len(layer["crosses"]):
        yield f"the joint at {joint['at']:g} names no member that is crossed"
        return
    low, high = crossing(job, layer, job.bearers(layer)[layer["crosses"][number - 1]], run)
    if not low - give <= at <= high + give:
        yield f"the joint at {joint['at']:g} is off its bearing, member {number}"


def crossing(job, layer, line, run):
    """From where to where along a run a centre line crosses it, ticks."""
    (u, v), (w, z) = sorted((_placed(layer, point) for point in line), key=lambda at: at[1])
    middle, reach = (run["near"] + run["far"]) / 2, abs(run["far"] - run["near"]) / 2
    slope = (w - u) / (z - v)
    at, off = u + (middle - v) * slope, abs(slope) * reach
    return job.ticks(round(at - off, 9)), job.ticks(round(at + off, 9))


def _placed(layer, point):
    """Stations along and across of a point of the surface."""
    x, y = (a - b for a, b in zip(point, layer["origin"], strict=True))
    return tuple(x * layer[name][0] + y * layer[name][1] for name in ("along", "across"))


def _long(job, layer, piece):
    """A piece is cut to its extent, rounded by no more than its tape's step at an end and half."""
    over = piece["ticks"] - (job.ticks(piece["to"]) - job.ticks(piece["from"]))
    if abs(over) > job.length_rule(layer, "cut_to") * 3 // 2 + 2 * job.give:
        yield f"it is cut {over / TICKS[job.unit]:g} {job.unit} off where it lies"


# --- tiling -----------------------------------------------------------------------------------


def tiling(job):
    """The faces of a layer's boards lie apart, and their areas add up to what is booked."""
    covered, give = defaultdict(int), defaultdict(int)
    for row in job.answer["ledger_shares"]:
        if row["account"] == "installed":
            covered[row["surface"], row["product"]] -= int(row["amount"])
    for piece in job.boards("pieces"):
        place, (outer, *holes) = (piece["surface"], piece["product"]), faces(job, piece)
        covered[place] += twice_area(outer) - sum(map(twice_area, holes))
        give[place] += 4 * job.give * sum(map(_girth, (outer, *holes)))
        if not _within(job, piece, outer):
            yield f"{piece['id']}: its face reaches out of where it lies"
    for place in give.keys() - {(row["surface"], row["product"]) for row in job.other_layers}:
        if abs(covered[place]) > give[place]:
            off = covered[place] / 2 / SQUARE[job.answer["units"]["area"]]
            yield f"{' '.join(place)}: the faces of its pieces are {off:g} off what is installed"
    yield from _apart(job)


def faces(job, piece):
    """The rings of a piece's face, outer first, as whole ticks."""
    if piece["shape"]:
        return [[(job.ticks(u), job.ticks(v)) for u, v in ring] for ring in piece["shape"]]
    (a, b), (c, d) = ([job.ticks(piece[name]) for name in pair]
                      for pair in (("from", "to"), ("near", "far")))  # fmt: skip
    return [[(a, c), (b, c), (b, d), (a, d)]]


def twice_area(ring):
    """Twice the area within a ring, exactly."""
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairwise([*ring, ring[0]])))


def _girth(ring):
    return sum(abs(a - c) + abs(b - d) for (a, b), (c, d) in pairwise([*ring, ring[0]]))


def _within(job, piece, ring):
    low, high = job.ticks(piece["from"]) - job.give, job.ticks(piece["to"]) + job.give
    near, far = _sides(job, piece)
    return all(low <= u <= high and near - job.give <= v <= far + job.give for u, v in ring)


def _apart(job):
    """Runs lie in their courses, and none on another; where a wall tapers courses, all may."""
    courses = {_course(row): row for row in job.boards("courses") if not row["end_widths"]}
    boxes = defaultdict(list)
    for run in job.boards("runs"):
        if _course(run) in courses:
            near, far = _sides(job, run)
            low, high = _sides(job, courses[_course(run)])
            if near < low - job.give or far > high + job.give:
                yield f"{run['id']}: it lies out of its course"
            box = (near, far, job.ticks(run["from"]), job.ticks(run["to"]), run["id"])
            boxes[_course(run)[:2]].append(box)
    for own in boxes.values():
        for one, other in combinations(sorted(own), 2):
            deep, long = (min(one[k], other[k]) - max(one[k - 1], other[k - 1]) for k in (1, 3))
            if min(deep, long) > 2 * job.give:
                yield f"{one[4]}: {other[4]} lies on it"


def _sides(job, row):
    return sorted((job.ticks(row["near"]), job.ticks(row["far"])))


def _course(row):
    return row["surface"], row["layer"], row["course"]


CHECKS = {"sticks": sticks, "money": money, "stations": stations, "tiling": tiling}


def failures(request, answer):
    """Everything that is wrong with an answer, each with the name of its check."""
    found, job = [], Job(request, answer)
    for name, check in CHECKS.items():
        try:
            found += [f"{name}: {text}" for text in check(job)]
        except (LookupError, TypeError, ValueError, ArithmeticError) as fault:
            found.append(f"{name}: the answer is not whole: {type(fault).__name__} {fault}")
    return found


def main(request, answer):
    found = failures(*(json.loads(Path(file).read_text(encoding="utf-8"))
                       for file in (request, answer)))  # fmt: skip
    print("\n".join(found) or f"{', '.join(CHECKS)}: nothing to find")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3]))
