"""Checks an answer: nothing of the service is used, and nothing that it says believed.

    python3 openapi/clients/check_answer.py request.json answer.json

Prints a line for each failure and ends with 1, without any with 0. Needs nothing but Python.

sticks       they add up to a length that was sent; each piece is cut from precisely one
money        what is ordered is what is cut; lines and plans cost what their sticks do
stations     the pieces of a run meet end to end, and joints lie where a member or strap crosses
tiling       the faces of the pieces lie apart, where they are said to, and cover what is booked
certificate  at the proof's prices no stick is worth more than it costs; the runs what is certified
"""

import json
import re
import sys
import unicodedata
from bisect import bisect_right
from collections import Counter, defaultdict
from fractions import Fraction
from itertools import combinations, groupby, pairwise
from math import ceil, gcd, hypot, inf, lcm
from operator import add
from pathlib import Path

TICKS = {"in": 1016000, "ft": 12192000, "yd": 36576000, "mm": 40000, "cm": 400000, "m": 40000000}
STICKS = ("board", "lumber", "moulding")
WHOLE = 1 << 20  # the share of a whole board in its worth
STARTS = {"ft": "f'′’", "in": 'i"″”', "mm": ("mm", "mil"), "cm": "c", "yd": "y", "m": "m"}


def ticks(value, unit):
    """The whole ticks (1/40 000 mm) of a number in `unit`, or of `8 ft`, `12' 6-5/8"`, `3.81 m`."""
    if not isinstance(value, str):
        return round(Fraction(str(value)) * TICKS[unit])
    text = re.sub("[¼½¾⅛⅜⅝⅞]", lambda one: f" {Fraction(unicodedata.numeric(one[0]))}", value)
    total = Fraction(0)
    for amount, word in re.findall(r"([\d./ -]*\d[\d./]*) ?([a-z'\"′’″”]+)", text.lower()):
        named = next(unit for unit, heads in STARTS.items() if word.startswith(tuple(heads)))
        total += sum(map(Fraction, re.split("[ -]+", amount.strip(" -")))) * TICKS[named]
    return round(total)


class Job:
    """A request and its answer, with what is looked up in them."""

    def __init__(self, request, answer):
        self.request, self.answer, self.unit = request, answer, answer["units"]["length"]
        self.ticks = lambda value: ticks(value, self.unit)
        self.give = -(-TICKS[self.unit] // 2_000_000) + 1  # lengths are printed to six decimals
        self.products = {row["id"]: row for row in request["products"]}
        self.pieces = {row["id"]: row for row in answer["pieces"]}
        self.layers = {(row["surface"], row["layer"]): row for row in answer["layers"]}
        self.layer = lambda row: self.layers[row["surface"], row["layer"]]
        self.layers_of, self.behind, straps = defaultdict(list), {}, {}
        for row in answer["layers"]:
            self.layers_of[row["product"]].append(row)
            self.behind[row["surface"], row["layer"]] = straps.get(row["surface"])
            straps |= {row["surface"]: row} if row["kind"] == "strapping" else {}
        self.members = {(row["surface"], row["member"]): row["line"] for row in answer["members"]}
        self.ruled = {(row["at"], row["key"]): row["value"] for row in answer["basis"]}
        for row in answer["relaxed"]:
            self.ruled |= {(place, row["key"]): row["used"] for place in row["places"]}

    def box(self, row):
        """The stations of a run or piece: low and high end, near and far side."""
        sides = sorted(self.ticks(row[name]) for name in ("near", "far"))
        return self.ticks(row["from"]), self.ticks(row["to"]), *sides

    def rule(self, layer, key):
        """The length of a layer's rule as the answer says that it was used; None without one."""
        value = self.ruled.get((f"{layer['surface']}.{layer['layer']}", key))
        return None if value is None else self.ticks(value)

    def boards(self, table):
        """Rows of a table that are of layers of boards."""
        return [row for row in self.answer[table] if self.layer(row)["kind"] == "boarding"]

    def rows(self, product):
        """Its lengths that can be taken: (length, price, how many or None, ends, owned)."""
        sent, found = self.products[product], []
        for name in ("stock", "owned"):
            for row in sent.get(name) or ():
                length, ends = ticks(row["length"], self.request["unit"]), row.get("ends")
                price = Fraction(str(row.get("price") or 0))
                most = row["count"] if name == "owned" else row.get("on_hand")
                found.append((length, price, most, ends or ["raw", "raw"], name == "owned"))
        return found

    def trims(self, layer):
        """What a raw end loses at a joint, and where it is covered, ticks."""
        both = [self.rule(layer, name) for name in ("joint_trim", "wall_trim")]
        return [self.rule(layer, "end_trim")] * 2 if both[0] is None else both

    def line(self, layer, number):
        """The centre line of a member, or of the line of straps that a layer lies on."""
        strap = self.behind[layer["surface"], layer["layer"]]
        if strap is None:
            return self.members[layer["surface"], number]
        own = [[row[name] for name in ("from", "to", "near", "far")] for row in self.answer["runs"]
               if self.layer(row) is strap and row["course"] == number]  # fmt: skip
        low, high, near, far = zip(*own, strict=True)
        v, ways = (min(near) + max(far)) / 2, ("origin", "along", "across")
        ways = list(zip(*map(strap.get, ways), strict=True))
        return [[at + u * a + v * b for at, a, b in ways] for u in (min(low), max(high))]

    def crossings(self, layer, run):
        """From where to where along a run the centre line of each bearing crosses it."""
        middle, reach = (run["near"] + run["far"]) / 2, abs(run["far"] - run["near"]) / 2
        found, ways = [], [layer["along"], layer["across"]]
        for number in layer["crosses"]:
            line = [[sum((a - b) * c for a, b, c in zip(at, layer["origin"], way, strict=True))
                     for way in ways] for at in self.line(layer, number)]  # fmt: skip
            (u, v), (w, z) = sorted(line, key=lambda at: at[1])
            slope = (w - u) / (z - v) if z > v else 0
            at, off = u + (middle - v) * slope, abs(slope) * reach
            here = (self.ticks(round(at - off, 9)), self.ticks(round(at + off, 9)))
            short = self.behind[layer["surface"], layer["layer"]] and not v <= middle <= z
            found.append((inf, inf) if short else here)
        return found


def sticks(job):
    taken = Counter(name for row in job.answer["sheets"] for name in row["pieces"])
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
    wrong = (name for name in sorted(job.pieces.keys() | backing) if taken[name] != 1)
    yield from (f"{name}: it is cut from {taken[name]} sticks" for name in wrong)


def _stick(job, row):
    exact, (cuts, laps) = row["ticks"], ([*map(job.ticks, row[of])] for of in ("cuts", "laps"))
    rows = [o for o in job.rows(row["product"]) if (o[0], o[4]) == (exact["length"], row["owned"])]
    if not rows:
        yield "it is of no length that was sent"
    if exact["length"] != sum(exact[name] for name in ("pieces", "kerf", "end_trim", "offcut")):
        yield "pieces, cuts, trims and rest do not add up to its length"
    off = abs(sum(cuts) - sum(laps) - exact["pieces"]) - job.give * len(cuts + laps)
    if off > 0 or min(exact.values()) < 0:
        yield "its pieces are not what it yields"
    for name, cut, beside in zip(row["pieces"], cuts, row["beside"], strict=True):
        if name in job.pieces and abs(job.pieces[name]["ticks"] - cut) > job.give:
            yield f"{name} is cut to another length"
        if any(job.pieces[other]["ticks"] > job.pieces[name]["ticks"] for other in beside):
            yield f"what is ripped beside {name} is longer"
    if job.products[row["product"]]["form"] == "board":
        yield from _sawn(job, row, [ends for _, _, _, ends, _ in rows])


def _sawn(job, row, stock_ends):
    """Cuts and trims of a stick by the rules of its product; its ends are raw or cut."""
    layer, exact, many = job.layers_of[row["product"]][0], row["ticks"], len(row["pieces"])
    kerf, trims = job.rule(layer, "kerf"), job.trims(layer)
    wide = ticks(job.products[row["product"]]["overall"], job.request["unit"])
    between = kerf * sum(hypot(1, job.ticks(x) / wide) for x in row["laps"] or [0] * (many - 1))
    last = min(kerf, exact["length"] - exact["end_trim"] - exact["pieces"] - between)
    if abs(exact["kerf"] - between - last) > kerf / 4 * len(row["laps"]):
        yield "its saw cuts take another length"
    either = ((trims if end == "raw" else (0,) for end in ends) for ends in stock_ends)
    if exact["end_trim"] not in {a + b for low, high in either for a in low for b in high}:
        yield "its ends are trimmed by what no rule says"


def money(job):
    forms = {name: row["form"] for name, row in job.products.items()}
    left = Counter((row["product"], row["ticks"]["length"]) for row in job.answer["sticks"]
                   if not row["owned"] and forms[row["product"]] in STICKS)  # fmt: skip
    for row in job.answer["order"]:
        if row["buy"] < row["need"] + row["cull"] + row["spare"]:
            yield f"{row['item']}: fewer are bought than are needed"
        if forms[row["product"]] in STICKS:
            length, told = job.ticks(row["length"]), row["price"] or 0
            rows = [one for one in job.rows(row["product"])
                    if abs(one[0] - length) <= job.give and not one[4]]  # fmt: skip
            if not any(abs(float(one[1]) * row["buy"] - told) < 0.01 for one in rows):
                yield f"{row['item']}: {row['buy']} cost something else"
            left[row["product"], rows[0][0]] -= row["need"]
    for (product, length), count in left.items():
        if count:
            yield f"{product}: {count} more of {length / TICKS['in']:g} in are cut than ordered"
    for row in job.answer["cut_plans"]:
        if forms[row["product"]] in STICKS:
            yield from (f"{row['product']}: {text}" for text in _plan(job, row))
    yield from _shared(job)


def _shared(job):
    for column in ("buy", "price"):
        whole, shared = (sum(row[column] or 0 for row in job.answer[table])
                         for table in ("order", "order_shares"))  # fmt: skip
        if abs(whole - shared) > 0.05:
            yield f"what surfaces share in {column} is not what is ordered"


def _plan(job, row):
    """The cost of a plan: its sticks, and so much for each joint, less what kept rests count."""
    left = Counter((one["ticks"]["length"], one["owned"]) for one in job.answer["sticks"]
                   if one["product"] == row["product"])  # fmt: skip
    each, joint = costs(job, row)
    cost = joint * row["joints"] - Fraction(str(row["offcuts"]))
    for price, one in sorted(zip(each, job.rows(row["product"]), strict=True), key=lambda p: p[0]):
        count = left[one[0], one[4]]
        taken = count if one[2] is None else min(count, one[2])
        left[one[0], one[4]] -= taken  # of one length the cheapest go first
        cost += price * taken
    if abs(cost - Fraction(str(row["cost"]))) > Fraction(1, 1000):
        yield f"its sticks and joints cost {float(cost):g}, not {row['cost']:g}"
    if row["bound"] > row["cost"]:
        yield "it costs less than is said to be possible"


def costs(job, plan):
    """What a stick of each row of a product's stock and a joint cost, in the measure of a plan."""
    if plan["measured_in"] == "joints":
        return [0] * len(job.rows(plan["product"])), 1
    each = {"money": lambda row: row[1], "length": lambda row: Fraction(row[0], TICKS[job.unit])}
    cost = each.get(plan["measured_in"], lambda row: 1)
    sticks = [0 if row[4] else cost(row) for row in job.rows(plan["product"])]
    return sticks, Fraction(str(plan["joint_cost"]))


def stations(job):
    joints = {tuple(row["between"]): row for row in job.answer["joints"]}
    by_run = defaultdict(list)
    for piece in sorted(job.boards("pieces"), key=lambda row: row["from"]):
        by_run[piece["run"]].append(piece)
    for run in job.boards("runs"):
        layer, own = job.layer(run), by_run[run["id"]]
        ends = [run["from"], *(end for piece in own for end in (piece["from"], piece["to"]))]
        ends = [job.ticks(end) for end in (*ends, run["to"])]
        if any(abs(a - b) > job.give for a, b in zip(ends[::2], ends[1::2], strict=True)):
            yield f"{run['id']}: its pieces do not meet from end to end"
        for low, high in pairwise(own):
            joint = joints.get((low["id"], high["id"]))
            if joint is None or abs(job.ticks(joint["at"]) - job.ticks(low["to"])) > job.give:
                yield f"{run['id']}: the joint of {low['id']} and {high['id']} is not listed"
            elif joint["on"] == "framing":
                a, b = job.crossings(layer, run)[joint["bearing"] - 1]
                if not a - 4 * job.give <= job.ticks(joint["at"]) <= b + 4 * job.give:
                    yield f"{run['id']}: the joint at {joint['at']:g} is off its bearing"
        step = job.rule(layer, "cut_to") * 3 // 2 + 2 * job.give
        for piece in own:  # cut to its extent, each end to the next step of the tape
            low, high, _, _ = job.box(piece)
            if abs(piece["ticks"] - (high - low)) > step:
                yield f"{piece['id']}: it is not cut to where it lies"


def tiling(job):
    over, give, boxes = Counter(), Counter(), defaultdict(list)
    for row in job.answer["ledger_shares"]:
        if row["account"] == "installed":
            over[row["surface"], row["product"]] -= int(row["amount"])
    for piece in job.boards("pieces"):
        place, (low, high, near, far) = (piece["surface"], piece["product"]), job.box(piece)
        rings = [[(job.ticks(u), job.ticks(v)) for u, v in ring] for ring in piece["shape"]]
        outer, *holes = rings or [[(low, near), (high, near), (high, far), (low, far)]]
        over[place] += _area(outer) - sum(map(_area, holes))
        sides = (side for ring in (outer, *holes) for side in pairwise([*ring, ring[0]]))
        give[place] += 4 * job.give * sum(abs(a - c) + abs(b - d) for (a, b), (c, d) in sides)
        us, vs = zip(*outer, strict=True)
        if min(min(us) - low, high - max(us), min(vs) - near, far - max(vs)) < -job.give:
            yield f"{piece['id']}: its face reaches out of where it lies"
        if not piece["shape"]:
            boxes[piece["surface"], piece["layer"]].append((near, far, low, high, piece["id"]))
    for place in give:
        alone = all(row["kind"] == "boarding" for row in job.layers_of[place[1]])
        if alone and abs(over[place]) > give[place]:
            yield f"{' '.join(place)}: the faces of its pieces are not what is installed"
    for own in map(sorted, boxes.values()):
        yield from _apart(own, 2 * job.give)


def _area(ring):
    """Twice the area within a ring, exactly."""
    return abs(sum(a * d - b * c for (a, b), (c, d) in pairwise([*ring, ring[0]])))


def _apart(boxes, give):
    """No piece lies on another; those with a shape of their own may, in their boxes."""
    for k, (_, far, low, high, name) in enumerate(boxes):
        for near, _, start, end, other in boxes[k + 1 :]:
            if near >= far - give:
                break
            if min(high, end) - max(low, start) > give:
                yield f"{name}: {other} lies on it"


def certificate(job):
    for row in job.answer.get("certificates", ()):
        (plan,) = (one for one in job.answer["cut_plans"] if one["product"] == row["product"])
        certified = row["certified_bound"]
        if row["bound"] != plan["bound"] or (certified or 0) > row["bound"]:
            yield f"{row['product']}: its bound is not that of its plan"
        if (row["bound_by"] == "proof") != (row["bound"] == certified):
            yield f"{row['product']}: a bound is proved only if it is what is certified"
        if certified is not None:
            yield from (f"{row['product']}: {text}" for text in Proof(job, row, plan).faults())


class Proof:
    """The prices of one certificate; sizes are in cells of its grid, a saw cut with each piece."""

    def __init__(self, job, row, plan):
        self.job, self.told, self.stock = job, row["proof"], job.rows(row["product"])
        self.certified, self.board = row["certified_bound"], job.products[row["product"]]
        layers = job.layers_of[row["product"]]
        self.kerf, self.trims = job.rule(layers[0], "kerf"), job.trims(layers[0])
        self.tables = {one["ends"]: (one["cells"], one["worths"]) for one in self.told["worths"]}
        self.costs, self.joint = costs(job, plan)
        self.unit, self.reached = TICKS[job.unit] if plan["measured_in"] == "length" else 1, {}
        self.runs = {run["id"]: run for run in job.boards("runs") if job.layer(run) in layers}
        self.each = [(one, name) for one in self.told["runs"] for name in one["runs"]]
        rooms = [self.rooms(row) for row in self.stock if row[2] != 0]
        self.longest = [max(own) for own in zip(*rooms, strict=True)]

    def faults(self):
        """What does not hold of it."""
        for steps in self.tables.values():
            if any(a >= b for own in steps for a, b in pairwise((0, *own))):
                yield "a worth falls with the length"
        if self.told["joint"] > self.joint * self.unit * self.told["per"]:
            yield "a joint is priced more than it costs"
        yield from self.dear()
        wide = ticks(self.board["overall"], self.job.request["unit"]) + self.kerf
        if self.board["profile"] != "lapped" and self.abreast(wide) > WHOLE:
            yield "rips of one board are worth more than all of it"
        named = Counter(name for _, name in self.each)
        yield from (f"{name} is not once in it" for name in self.runs if named[name] != 1)
        yield from self.gaps()
        if (total := max(0, self.total())) < Fraction(str(self.certified)):  # no plan is below 0
            yield f"its runs come to {float(total):g}, less than is certified"

    def cells(self, length):
        """The size of a piece, or of the room for pieces."""
        return max(0, length + self.kerf) // self.told["grid"]

    def worth(self, ends, size, share=WHOLE):
        """The worth of a piece of which so many ends take less of a raw end of a stick."""
        cells, worths = self.tables.get(ends, ((), ()))
        place = bisect_right(cells, size)
        return worths[place - 1] * share // WHOLE if place else 0

    def rooms(self, row):
        """The room in a stick where no piece spares its ends, where one does, and where two do."""
        gains = [max(self.trims) - min(self.trims) if end == "raw" else 0 for end in row[3]]
        usable = row[0] - max(self.trims) * row[3].count("raw")
        return [self.cells(usable + gain) for gain in (0, max(gains), sum(gains))]

    def dear(self):
        """A knapsack for each stock: whatever lies between, and at no end, one end or both."""
        items = [
            (ends, *one) for ends, own in self.tables.items() for one in zip(*own, strict=True)
        ]
        filled = [[0]]
        for room in range(1, self.longest[2] + 1):
            held = (worth + filled[0][room - size] for _, size, worth in items if size <= room)
            filled[0].append(max(filled[0][-1], max(held, default=0)))
        for _ in ("at one end", "at both"):
            best = filled[-1]
            filled.append(
                [max((worth + best[room - size] for ends, size, worth in items
                      if ends and size <= room), default=-inf) for room in range(len(best))]
            )  # fmt: skip
        for row, cost, cap in zip(self.stock, self.costs, self.told["caps"], strict=True):
            rooms, most = self.rooms(row), cost * self.unit * self.told["per"]
            held = [best[room] for best, room in zip(filled, rooms, strict=True)]
            held = max(*held, self.worth(2, rooms[2])) if row[2] != 0 else 0
            if held > most + (0 if row[2] is None else cap):
                yield f"a stick of {row[0] / TICKS['in']:g} in is worth more than it costs"

    def abreast(self, left):
        """What rips beside one another are worth at most, in shares of a board."""
        rips = [(w["width"] - self.job.give + self.kerf, w["share"]) for w in self.told["widths"]]
        return max((own + self.abreast(left - w) for w, own in rips if w <= left), default=0)

    def gaps(self):
        """Runs of which the proof knows less than is so: their length, a joint or a bearing."""
        joints, job = defaultdict(list), self.job
        for joint in job.boards("joints"):
            joints[job.pieces[joint["between"][0]]["run"]].append(job.ticks(joint["at"]))
        for one, name in self.each:
            layer, (low, high, _, _) = job.layer(self.runs[name]), job.box(self.runs[name])
            if one["from"] < low - job.give or one["to"] > high + job.give:
                yield f"{name} is longer in it than it is"
            if one["anywhere"]:
                continue
            near = job.rule(layer, "cut_to") // 2 + 4 * job.give
            borne, off = [(at, at) for at in joints[name]], job.rule(layer, "min_piece") + near
            if not one["stations"] and self.cells(high - low) > self.longest[2]:
                yield f"{name} is one piece in it, and no stick is as long"
            if one["stations"]:
                borne += (at for at in job.crossings(layer, self.runs[name])
                          if low + off <= at[0] and at[1] <= high - off)  # fmt: skip
            if any(all(not a - near <= at <= b + near for at in one["stations"]) for a, b in borne):
                yield f"a joint or a bearing of {name} is no station of it"

    def total(self):
        """The least cost that is no less than all runs at their cheapest, less windows and caps."""
        found, known = 0, {}
        for one, name in self.each:
            low, high, near, far = self.job.box(self.runs[name])
            fits = self.cells(high - low) <= self.longest[2]
            shares = [step["share"] for step in self.told["widths"]
                      if step["width"] <= far - near + self.job.give]  # fmt: skip
            kind = self.job.layer(self.runs[name]), max(shares, default=0), fits
            key = json.dumps([one["from"], one["to"], one["stations"], *kind])
            if key not in known:
                known[key] = (self.anywhere if one["anywhere"] else self.path)(one, *kind)
            found += known[key]
        owed = sum(one["price"] * self.most(one) for one in self.told["windows"])
        caps = zip(self.told["caps"], self.stock, strict=True)
        owed += sum(cap * (row[2] or 0) for cap, row in caps)
        least = Fraction(found - owed, self.told["per"] * self.unit)
        costs = [Fraction(cost) for cost in (self.joint, *self.costs)]
        scale = lcm(*(cost.denominator for cost in costs))
        step = Fraction(gcd(*(int(cost * scale) for cost in costs)), scale)
        return ceil(least / step) * step if step else least

    def kind(self, layer, *walls):
        """How many ends of a piece spare, each at a wall or at a joint, and its least length."""
        joint, wall = self.trims[0] < self.trims[1], self.trims[0] != self.trims[1]
        least = self.job.rule(layer, "min_piece") - 2 * self.job.rule(layer, "cut_to")
        return sum(wall if one else joint for one in walls), 0 if all(walls) else max(0, least)

    def path(self, one, layer, share, fits):
        """The cheapest way along a run from one of its stations to another."""
        at, own = [one["from"], *one["stations"], one["to"]], self.told["windows"]
        own = [row for row in own if self.job.layer(row) == layer]
        rents = [sum(row["price"] for row in own if row["from"] <= u <= row["to"]) for u in at]
        last, cost = len(at) - 1, [0] + [inf] * (len(at) - 1)
        for i, j in combinations(range(len(at)), 2):
            ends, least = self.kind(layer, i == 0, j == last)
            size = self.cells(at[j] - at[i])
            if size <= self.longest[ends] and at[j] - at[i] >= least and (fits or j - i < last):
                here = cost[i] + (i and self.told["joint"] + rents[i])
                cost[j] = min(cost[j], here + self.worth(ends, size, share))
        return cost[last]

    def anywhere(self, one, layer, share, _):
        """The same cell by cell: a piece over `k` of them has `k - 1` and the cut at least."""
        grid, cut = self.told["grid"], self.kerf // self.told["grid"]
        length, most = max(1, -(-(one["to"] - one["from"]) // grid)), self.longest[2] + 1 - cut

        def worths(*walls):
            ends, least = self.kind(layer, *walls)
            sizes = [max(self.cells(least), k - 1 + cut) for k in range(1, most + 1)]
            joint = 0 if walls[0] else self.told["joint"]
            return [self.worth(ends, size, share) + joint if size <= self.longest[ends] else inf
                    for size in sizes]  # fmt: skip

        first, inner, last = worths(True, False), worths(False, False), worths(False, True)
        cost = self.reached.setdefault((layer["surface"], layer["layer"], share), [inf])
        for at in range(len(cost), length):
            cost.append(min(*first[at - 1 : at], inf, *map(add, inner, cost[at - 1 :: -1])))
        found = min(map(add, last, cost[length - 1 :: -1]))
        return min(found, worths(True, True)[length - 1]) if length <= most else found

    def most(self, window):
        """How many joints a window can have: of courses that touch every second has one in it."""
        layer, low, high = self.job.layer(window), window["from"], window["to"]
        rules = [self.job.rule(layer, one) for one in ("stagger", "repeat", "min_piece", "cut_to")]
        held = {self.runs[name]["course"] for one, name in self.each
                if self.job.layer(self.runs[name]) == layer
                and any(low <= at <= high for at in one["stations"])}  # fmt: skip
        rows = groupby(enumerate(sorted(held)), key=lambda pair: pair[1] - pair[0])
        counts, found = [len(list(own)) for _, own in rows], inf
        if rules[2] >= rules[0] and high - low < rules[0] - 2 * rules[3]:
            found = sum(-(-count // 2) for count in counts)
        if low == high and min(rules[:2]) > 0:
            found = min(found, sum(-(-count // 3) for count in counts))
        return found


CHECKS = (sticks, money, stations, tiling, certificate)


def failures(request, answer):
    """Everything that is wrong with an answer, each with the name of its check."""
    found, job = [], Job(request, answer)
    for check in CHECKS:
        try:
            found += [f"{check.__name__}: {text}" for text in check(job)]
        except (LookupError, TypeError, ValueError, ArithmeticError) as fault:
            found.append(f"{check.__name__}: the answer is not whole: {fault!r}")
    return found


if __name__ == "__main__":
    told = failures(*(json.loads(Path(file).read_text(encoding="utf-8")) for file in sys.argv[1:3]))
    print("\n".join(told) or "nothing to find")
    sys.exit(1 if told else 0)
