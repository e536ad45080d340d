"""An independent implementation of the narrowing search, compared with ours: what is believed after each
verdict, and what is decided.

    python3 posterior.py FILE

What is believed is kept by questplus, a library of Bayesian adaptive methods: its parameters are the best
setting and what a rider may feel, its likelihood is overridden with that of the rule. The prior, the
likelihood and all decisions are written again from the rule's description; no code is shared. The file
has, as JSON, one search in each line: its terms, and for each moment our shares, our decision and the answers.
"""

import json
import sys
from copy import copy
from functools import cache

import numpy as np
import xarray
from questplus import QuestPlus
from scipy.special import ndtr

ANSWERS = ["better", "same", "worse"]
GRADES = ["much better", *ANSWERS, "much worse"]
THRESHOLDS = ([np.inf, 1.4, 2.3, 3.5], [0.30, 0.15, 0.25, 0.30])  # from when on a rider says much; or never
FELT = {
    "power": ([1.0, 2.0], [0.5, 0.5]),
    "notice": ([1.4, 2.6], [0.5, 0.5]),
    "noise": ([0.45, 0.85], [0.5, 0.5]),
    "lopsided": ([1 / 1.5, 1.0, 1.5], [0.2, 0.6, 0.2]),
}
TIE = 1e-7  # a position is surer only by so much more
LESS = 1e-6  # another lap must tell so much more


def domain(top):
    parameters = {"best": np.arange(2 * top + 1) / 2}
    parameters.update({name: np.array(values) for name, (values, _) in FELT.items()})
    return parameters


def felt(top):
    """Of each lap against each other, whatever the parameters are: what is felt, its deviation, what is random."""
    axes = [np.arange(top + 1.0), np.arange(top + 1.0), *domain(top).values()]
    lap, against, best, power, notice, noise, lopsided = np.meshgrid(*axes, indexing="ij", sparse=True)
    web, lapse = np.where(lopsided == 1, 0.0, 0.15), np.where(lopsided == 1, 0.01, 0.06)
    below, above = notice / np.sqrt(lopsided), notice * np.sqrt(lopsided)

    def quality(setting):
        return -((np.abs(setting - best) / np.where(setting < best, below, above)) ** power)

    far = (np.abs(lap - best) + np.abs(against - best)) / (below + above)
    return quality(lap) - quality(against), noise * (1 + web * far), lapse


def named(top, answers, chances, more):
    """The chances with the names of their axes."""
    parameters = {**domain(top), **more}
    settings = {"lap": np.arange(top + 1), "against": np.arange(top + 1)}
    return xarray.DataArray(
        np.stack(chances),
        dims=["answer", *settings, *parameters],
        coords={"answer": answers, **settings, **parameters},
    )


@cache
def likelihoods(top):
    """The chance of each plain answer."""
    mu, sigma, lapse = felt(top)
    better = (1 - lapse) * ndtr((mu - 1) / sigma) + lapse / 3
    worse = (1 - lapse) * ndtr((-1 - mu) / sigma) + lapse / 3
    same = np.maximum(1 - better - worse, 1e-9)
    return named(top, ANSWERS, [better, same, worse], {})


@cache
def graded_likelihoods(top):
    """The chance of each answer with its grade, for each threshold besides."""
    mu, sigma, lapse = (values[..., None] for values in felt(top))
    better, same, worse = (values[..., None] for values in likelihoods(top).values)
    never = np.isinf(THRESHOLDS[0])
    threshold = np.where(never, 1.0, THRESHOLDS[0])

    def much(plain, mu):
        beyond = (1 - lapse) * ndtr((mu - threshold) / np.sqrt(sigma**2 + (0.2 * threshold) ** 2)) + lapse / 12
        return np.where(never, 1e-4 * plain, np.minimum(plain, beyond))

    much_better, much_worse = much(better, mu), much(worse, -mu)
    same = same + np.zeros_like(much_better)
    chances = [much_better, better - much_better, same, worse - much_worse, much_worse]
    chances = [np.maximum(chance, 1e-9) for chance in chances]
    return named(top, GRADES, chances, {"threshold": np.array(THRESHOLDS[0])})


class Believed(QuestPlus):
    """questplus with the likelihood of the rule."""

    def __init__(self, top, prior, graded=False):
        self.top, self.graded = top, graded
        more = {"threshold": np.array(THRESHOLDS[0])} if graded else {}
        shares = {"threshold": np.array(THRESHOLDS[1])} if graded else {}
        super().__init__(
            stim_domain={"lap": np.arange(top + 1), "against": np.arange(top + 1)},
            param_domain={**domain(top), **more},
            outcome_domain={"answer": GRADES if graded else ANSWERS},
            prior={"best": prior, **{name: np.array(shares) for name, (_, shares) in FELT.items()}, **shares},
            func="thurstone_scaling",  # one must be named; it is not used
            stim_scale=None,
        )
        self.shares = self.marginal_posterior["best"]

    def _gen_likelihoods(self):
        return (graded_likelihoods if self.graded else likelihoods)(self.top)

    def hear(self, lap, against, answer):
        self.update(stim={"lap": lap, "against": against}, outcome={"answer": answer})
        self.shares = self.marginal_posterior["best"]

    def riders(self):
        """The shares of the best and what a rider may feel, whatever the threshold."""
        values = self.posterior.values
        return values.sum(axis=-1) if self.graded else values


class Search:
    """The rule. The terms: top, start, hint ("up", "down" or None), again, close, effort, second."""

    def __init__(self, top, start, hint=None, again=False, close=False, effort="normal", second=True):
        self.top, self.hint, self.effort, self.second = top, hint, effort, second
        if again:
            self.stop, self.most, self.reach = 0.70, 5 if close else 6, 2 if close else 3
            peaked, scale = 0.9, 1.2 if close else 1.8
        else:
            self.stop = {"quick": 0.70, "normal": 0.80, "thorough": 0.88}[effort]
            self.most = 10 if effort == "thorough" else 8
            self.reach = 2 if top <= 7 else 4
            peaked, scale = 0.7, 0.12 * top + 0.4
        self.laps = [start]
        self.verdicts = 0
        self.places = np.arange(2 * top + 1) / 2

        def fall(place):
            return (1 + ((place - start) / scale) ** 2 / 3) ** -2

        beyond = np.arange(1, 400) / 2
        shares = fall(self.places)
        shares[0] += fall(-beyond).sum()
        shares[-1] += fall(top + beyond).sum()
        shares = peaked * shares / shares.sum() + (1 - peaked) / (2 * top + 1)
        if hint:
            toward = self.places > start if hint == "up" else self.places < start
            away = self.places < start if hint == "up" else self.places > start
            shares = shares * np.where(toward, 2 * 0.65, np.where(away, 2 * 0.35, 1.0))
            shares /= shares.sum()
        self.prior, self.heard = shares, []
        self.believed = Believed(top, shares)

    def believe(self, lap, against, answer):
        """What is believed after one more answer; from the first that says much on, all are heard as grades."""
        self.heard.append((lap, against, answer))
        if answer.startswith("much") and not self.believed.graded:
            self.believed = Believed(self.top, self.prior, graded=True)
            for earlier in self.heard:
                self.believed.hear(*earlier)
        else:
            self.believed.hear(lap, against, answer)

    def hear(self, lap, answer, second=None):
        """A lap with its answers; `also` must be what `next` said."""
        decided = self.next()
        self.believe(lap, decided["against"], answer)
        self.verdicts += 1
        if second is not None:
            self.believe(lap, decided["also"], second)
        self.laps.append(lap)

    def within(self, position):
        shares = self.believed.shares

        def share(cell):
            return shares[cell] if 0 <= cell < len(shares) else 0.0

        near = share(2 * position - 1) + share(2 * position) + share(2 * position + 1)
        return near + (share(2 * position - 2) + share(2 * position + 2)) / 2

    def surest(self, positions):
        """Of these the one with the largest share about it, the first of them on ties."""
        best = None
        for position in positions:
            within = self.within(position)
            if best is None or within > best[1] + TIE:
                best = (position, within)
        return best

    def tells(self, lap, also):
        """What the answers are expected to tell of the best setting together, in nats."""
        row = likelihoods(self.top).values[:, lap, self.laps[-1]]
        posterior = self.believed.riders()
        joint = (posterior * row).reshape(3, len(self.places), -1)
        if also is None:
            joint = joint.sum(axis=2)
        else:
            second = likelihoods(self.top).values[:, lap, also].reshape(3, len(self.places), -1)
            joint = np.einsum("apr,bpr->abp", joint, second).reshape(9, -1)
        apart = joint.sum(axis=1, keepdims=True) * self.believed.shares
        return float(np.where(joint > 0, joint * np.log(joint / apart), 0.0).sum())

    def proposed(self):
        """The next lap and what else it is compared with."""
        last = self.laps[-1]
        far = 2 * self.reach
        low = max(min(self.laps) - self.reach, last - far, 0)
        high = min(max(self.laps) + self.reach, last + far, self.top)
        order = range(low, high + 1) if self.hint != "up" else range(high, low - 1, -1)
        latest = {setting: index for index, setting in enumerate(self.laps)}
        best = None
        for lap in order:
            if lap == last or lap in self.laps[-2:-1]:
                continue
            others = sorted((index, setting) for setting, index in latest.items() if setting not in (lap, last))
            for also in [setting for _, setting in others if self.second] or [None]:
                told = self.tells(lap, also)
                if best is None or told > best[2] + LESS:
                    best = (lap, also, told)
        return best and best[:2]

    def next(self):
        """The next lap, against what, and against what too; or where it settles."""
        settled, most = self.surest(range(self.top + 1))
        done = (self.verdicts and most >= self.stop) or len(self.laps) >= self.most or self.top == 0
        proposed = None if done else self.proposed()
        if proposed is None:
            return {"settle": settled}
        lap, also = proposed
        return {"at": lap, "against": self.laps[-1], "also": also}

    def proven(self, answer):
        """Where to settle after a proof lap with this answer."""
        proof, _ = self.surest(range(self.top + 1))
        best, _ = self.surest(reversed(self.laps))
        if self.effort == "quick":
            return best if answer.endswith("worse") else proof
        before, heard = self.believed, list(self.heard)
        self.believed = copy(before)
        self.believe(proof, best, answer)
        chosen, _ = self.surest([proof, best])
        self.believed, self.heard = before, heard
        return chosen


def followed(line):
    """How many moments of a search are the same, and how far our shares were off at most."""
    terms = {name: term for name, term in line["terms"].items() if name != "grades"}
    search, off = Search(**terms), 0.0
    for number, moment in enumerate(line["moments"]):
        case = f"{line['terms']}, {[m['answers'] for m in line['moments'][:number]]}"
        off = max(off, float(np.abs(np.array(moment["shares"]) - search.believed.shares).max()))
        if not off <= 1e-9:
            sys.exit(f"{case}: shares {off} off")
        decided = search.next()
        if moment["decision"] != decided:
            sys.exit(f"{case}: ours {moment['decision']}, here {decided}")
        if "settle" in decided:
            if decided["settle"] not in search.laps:
                answers = GRADES if line["terms"]["grades"] else ANSWERS
                proven = [search.proven(answer) for answer in answers]
                if moment["proven"] != proven:
                    sys.exit(f"{case}: proven, ours {moment['proven']}, here {proven}")
            assert number == len(line["moments"]) - 1
        else:
            search.hear(decided["at"], *moment["answers"])
    return len(line["moments"]), off


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        lines = [json.loads(line) for line in file]
    moments, off = map(list, zip(*map(followed, lines)))
    told = f"{len(lines)} searches, {sum(moments)} moments: the same shares and decisions"
    print(f"shares at most {max(off):.1e} off", file=sys.stderr)
    print(told)


if __name__ == "__main__":
    main()
