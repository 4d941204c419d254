#!/usr/bin/env python3
"""Judge of the statistics of minutes, by lifelines, statsmodels, scipy and numpy.

It asks the example `answers` of the crate `minutes` and shares nothing
with it. Judged:

1. The right-censored log-normal fit, alone and with columns, on simulated times
   and on the data set that comes with lifelines: lifelines 0.30
   (LogNormalFitter, LogNormalAFTFitter, which stop at about 3e-5), and the
   likelihood written out here and climbed by scipy.
2. The mixed model where nothing is given up: statsmodels' MixedLM (restricted
   maximum likelihood, crossed random effects). Ours is Bayesian, so estimates
   agree within a part of their standard errors: 0.3, effects within 0.2.
3. The mixed model with tries given up: the same belief and likelihood written out
   here in numpy, draws from the belief weighted by likelihood, in cases so small
   that this is exact to about a hundredth.
4. Order statistics: scipy's binomial and beta distributions.
5. Races: entrants simulated one by one in numpy from the truth that plays were
   made up from; for one outline scipy's quantile of the least of N log-normals.

Prints one line, exits 1 on disagreement.
"""

import json
import subprocess
import sys
import warnings

import numpy as np
import pandas as pd
from lifelines import LogNormalAFTFitter, LogNormalFitter
from lifelines.datasets import load_waltons
from scipy import optimize, stats
from statsmodels.regression.mixed_linear_model import MixedLM

from judging.program import example
from judging.tally import Tally

COMMAND = [example("answers")]


def answers(task, rows):
    text = "\n".join(" ".join(repr(float(x)) if not isinstance(x, int) else str(x) for x in row) for row in rows)
    ran = subprocess.run(COMMAND + task, input=text, capture_output=True, text=True)
    if ran.returncode != 0:
        sys.exit(f"answers {task} broke off: {ran.stderr}")
    return json.loads(ran.stdout)


def ln_likelihood(at, columns, times, finished):
    """Of times, not of their logarithms; `at` is the coefficients and ln sigma."""
    sigma = np.exp(at[-1])
    z = (np.log(times) - columns @ at[:-1]) / sigma
    done = stats.norm.logpdf(z) - np.log(sigma) - np.log(times)
    return np.where(finished, done, stats.norm.logsf(z)).sum()


def judge_censored(tally, rng):
    cases = []
    waltons = load_waltons()
    cases.append(("waltons", np.ones((len(waltons), 1)), waltons["T"].to_numpy(float), waltons["E"].to_numpy() == 1))
    for i in range(10):
        count = int(rng.integers(8, 200))
        width = 1 if i < 5 else 3
        columns = np.column_stack([np.ones(count)] + [rng.normal(size=count) for _ in range(width - 1)])
        middle = columns @ rng.normal(1.0, 0.7, size=width)
        needed = np.exp(middle + rng.uniform(0.3, 1.2) * rng.normal(size=count))
        budget = np.exp(np.median(np.log(needed)) + rng.normal(0.6, 0.5, size=count))
        cases.append((f"case {i}", columns, np.minimum(needed, budget), needed <= budget))
    for name, columns, times, finished in cases:
        told = answers(["censored"], [[t, int(f), *row] for t, f, row in zip(times, finished, columns)])
        ours = np.array([*told["coefficients"], np.log(told["sigma"])])
        start = np.array([*np.linalg.lstsq(columns, np.log(times), rcond=None)[0], 0.0])
        climbed = optimize.minimize(
            lambda at: -ln_likelihood(at, columns, times, finished), start, method="BFGS", options={"gtol": 1e-7}
        )
        tally.close(told["ln_likelihood"], ln_likelihood(ours, columns, times, finished), 1e-8, f"{name}: likelihood")
        tally.close(told["ln_likelihood"], -climbed.fun, 1e-6, f"{name}: likelihood by scipy")
        tally.check(np.abs(ours - climbed.x).max() < 1e-4, f"{name}: {ours} but scipy {climbed.x}")
        frame = pd.DataFrame(columns[:, 1:], columns=[f"x{j}" for j in range(1, columns.shape[1])])
        frame["time"], frame["finished"] = times, finished
        if columns.shape[1] == 1:
            fit = LogNormalFitter().fit(frame["time"], frame["finished"])
            tally.close(told["coefficients"][0], fit.mu_, 1e-4, f"{name}: mu by lifelines")
            tally.close(told["sigma"], fit.sigma_, 1e-4, f"{name}: sigma by lifelines")
            tally.close(told["ln_likelihood"], fit.log_likelihood_, 1e-4, f"{name}: likelihood by lifelines")
            errors = fit.summary["se(coef)"]
            tally.close(told["errors"][0], errors["mu_"], 2e-3 * errors["mu_"], f"{name}: error of mu")
            tally.close(told["sigma_error"], errors["sigma_"], 2e-3 * errors["sigma_"], f"{name}: error of sigma")
        else:
            fit = LogNormalAFTFitter().fit(frame, "time", "finished")
            mu = fit.params_["mu_"]
            theirs = [mu["Intercept"]] + [mu[f"x{j}"] for j in range(1, columns.shape[1])]
            tally.check(np.abs(ours[:-1] - theirs).max() < 1e-3, f"{name}: {ours} but lifelines {theirs}")
            tally.check(told["ln_likelihood"] > fit.log_likelihood_ - 1e-6, f"{name}: lifelines climbs higher")


def plays_rows(efforts, testers, tries):
    return [list(efforts), [testers]] + tries


def made_up(rng, outlines, testers, spreads, line=(-1.5, 0.9), budget=None):
    efforts = np.linspace(3, 7, outlines)
    d = line[0] + line[1] * efforts + spreads[0] * rng.normal(size=outlines)
    v = spreads[1] * rng.normal(size=testers)
    y = d[None, :] + v[:, None] + spreads[2] * rng.normal(size=(testers, outlines))
    tries = []
    for t in range(testers):
        for o in range(outlines):
            minutes = float(np.exp(y[t, o]))
            done = budget is None or minutes <= budget
            tries.append([t, o, minutes if done else float(budget), int(done)])
    return efforts, d, v, tries


def judge_mixed(tally, rng):
    for case in range(3):
        efforts, _, _, tries = made_up(rng, 14, 16, (0.5, 0.4, 0.5))
        # Not everybody sat at everything.
        tries = [t for t in tries if rng.random() < 0.8]
        told = answers(["fit"], plays_rows(efforts, 16, tries))
        frame = pd.DataFrame(tries, columns=["tester", "outline", "minutes", "done"])
        frame["y"], frame["effort"], frame["all"] = np.log(frame["minutes"]), efforts[frame["outline"]], 1
        parts = {"outline": "0 + C(outline)", "tester": "0 + C(tester)"}
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fit = MixedLM.from_formula("y ~ effort", groups="all", vc_formula=parts, data=frame).fit(
                reml=True, method=["powell", "lbfgs"]
            )
        # statsmodels names variance components in the order of their names.
        names = fit.model.exog_vc.names
        sd = {name: np.sqrt(fit.vcomp[names.index(name)]) for name in names}
        sd["noise"] = np.sqrt(fit.scale)
        tally.close(told["slope"][1], fit.params["effort"], 0.3 * fit.bse["effort"], f"mixed {case}: slope")
        # Standard error of a slope against the width of ours.
        width = (told["slope"][2] - told["slope"][0]) / (2 * stats.norm.ppf(0.95))
        tally.close(width, fit.bse["effort"], 0.2 * fit.bse["effort"], f"mixed {case}: error of the slope")
        for key, name, degrees in [
            ("outlines_sd", "outline", 12),
            ("testers_sd", "tester", 15),
            ("noise_sd", "noise", len(tries) - 30),
        ]:
            # A logarithm of a standard deviation has the error 1 / sqrt(2 degrees).
            error = 1 / np.sqrt(2 * degrees)
            tally.close(np.log(told[key][1]), np.log(sd[name]), 0.3 * error, f"mixed {case}: spread of {name}")
        effects = fit.random_effects[1]
        for o, ours in enumerate(told["outlines"]):
            line = fit.params["Intercept"] + fit.params["effort"] * efforts[o]
            theirs = line + effects[f"outline[C(outline)[{o}]]"]
            error = (ours[2] - ours[0]) / (2 * stats.norm.ppf(0.95))
            tally.close(ours[1], theirs, 0.2 * error, f"mixed {case}: outline {o}")
        for t, ours in enumerate(told["testers"]):
            error = (ours[2] - ours[0]) / (2 * stats.norm.ppf(0.95))
            tally.close(ours[1], effects[f"tester[C(tester)[{t}]]"], 0.2 * error, f"mixed {case}: tester {t}")


def weighted(values, weights, share):
    order = np.argsort(values)
    sums = np.cumsum(weights[order])
    return values[order][np.searchsorted(sums, share * sums[-1])]


def judge_given_up(tally, rng):
    """The belief: level at effort ln 100 ln 15 ± 1.5, slope 1 ± 0.5; spreads of outlines and testers
    half-t of 4 degrees, scales 0.6 and 0.5; squared noise scaled inverse chi-squared, 4 degrees, 0.6."""
    count = 4_000_000
    cases = [
        ("one given up", [4.0, 5.5], 2, [[0, 0, 12.0, 1], [1, 0, 20.0, 1], [0, 1, 60.0, 0]]),
        ("all given up", [4.0, 5.0], 2, [[0, 0, 30.0, 0], [1, 0, 30.0, 0], [0, 1, 60.0, 0], [1, 1, 60.0, 0]]),
        ("one try", [4.6], 1, [[0, 0, 40.0, 1]]),
        ("mixed", [3.5, 4.5], 3, [[0, 0, 5.0, 1], [1, 0, 9.0, 1], [1, 1, 45.0, 0], [2, 1, 30.0, 1]]),
    ]
    for name, efforts, testers, tries in cases:
        told = answers(["fit"], plays_rows(efforts, testers, tries))
        level = np.log(15) + 1.5 * rng.normal(size=count)
        slope = 1 + 0.5 * rng.normal(size=count)
        of_outlines = 0.6 * np.abs(rng.standard_t(4, size=count))
        of_testers = 0.5 * np.abs(rng.standard_t(4, size=count))
        noise = 0.6 * np.sqrt(4 / rng.chisquare(4, size=count))
        d = [level + slope * (e - np.log(100)) + of_outlines * rng.normal(size=count) for e in efforts]
        v = [of_testers * rng.normal(size=count) for _ in range(testers)]
        ln_weight = np.zeros(count)
        for t, o, minutes, done in tries:
            z = (np.log(minutes) - d[o] - v[t]) / noise
            ln_weight += stats.norm.logpdf(z) - np.log(noise) if done else stats.norm.logsf(z)
        weights = np.exp(ln_weight - ln_weight.max())
        effective = weights.sum() ** 2 / (weights**2).sum()
        tally.check(effective > 20_000, f"{name}: the judge has only {effective:.0f} draws")
        rows = [("slope", slope, told["slope"]), ("testers' spread", of_testers, told["testers_sd"])]
        rows += [("outlines' spread", of_outlines, told["outlines_sd"]), ("noise", noise, told["noise_sd"])]
        rows += [(f"outline {o}", d[o], told["outlines"][o]) for o in range(len(efforts))]
        rows += [(f"tester {t}", v[t], told["testers"][t]) for t in range(testers)]
        for what, values, ours in rows:
            theirs = [weighted(values, weights, share) for share in (0.05, 0.5, 0.95)]
            # Ours is some thousand effective draws: a quantile's error against the width.
            width = theirs[2] - theirs[0]
            for found, wanted, within in zip(ours, theirs, (0.05, 0.03, 0.06)):
                tally.close(found, wanted, within * width, f"{name}: {what} of {theirs}")


def judge_order(tally):
    questions = []
    for n in (1, 2, 10, 137, 1000, 1_000_000):
        for k in sorted({1, 2, min(10, n), n // 2 + 1, n}):
            for share in (1e-7, 0.003, 0.1, 0.5, 0.93, 1 - 1e-6):
                if k <= n:
                    questions.append([share, k, n])
    told = answers(["order"], questions)["order"]
    for (share, k, n), ours in zip(questions, told):
        wanted = stats.binom.sf(k - 1, n, share)
        tally.close(ours, wanted, 1e-12 + 1e-8 * wanted, f"{k} of {n} at {share}, binomial")
        wanted = stats.beta.cdf(share, k, n - k + 1)
        tally.close(ours, wanted, 1e-12 + 1e-8 * wanted, f"{k} of {n} at {share}, beta")


def judge_races(tally, rng):
    spreads = (0.3, 0.4, 0.5)
    for outlines, entrants in [(1, 100), (4, 100), (8, 1000)]:
        efforts, d, _, tries = made_up(rng, max(outlines, 6), 200, spreads)
        # So many plays that the fit's own doubt is small against skill and luck.
        efforts, d = efforts[:outlines], d[:outlines]
        tries = [t for t in tries if t[1] < outlines]
        within = float(np.exp(d).sum())
        told = answers(["race", str(entrants), str(within)], plays_rows(efforts, 200, tries))
        if outlines == 1:
            one = stats.lognorm(s=np.hypot(spreads[1], spreads[2]), scale=np.exp(d[0]))
            for ours, p in zip(told["first"], (0.05, 0.5, 0.95)):
                wanted = one.ppf(1 - (1 - p) ** (1 / entrants))
                tally.close(np.log(ours), np.log(wanted), 0.2, f"least of {entrants} log-normals at {p}")
        rounds = 1000
        firsts, tenths, counts = [], [], []
        for _ in range(rounds):
            pace = spreads[1] * rng.normal(size=(entrants, 1))
            y = d[None, :] + pace + spreads[2] * rng.normal(size=(entrants, outlines))
            total = np.sort(np.exp(y).sum(axis=1))
            firsts.append(total[0])
            tenths.append(total[9])
            counts.append((total <= within).sum())
        for name, ours, theirs in [("first", told["first"], firsts), ("tenth", told["tenth"], tenths)]:
            wanted = np.quantile(theirs, [0.05, 0.5, 0.95])
            for found, wanted in zip(ours, wanted):
                # 200 testers leave a spread unsure by a twentieth, and three scores out that is 0.06.
                tally.close(np.log(found), np.log(wanted), 0.2, f"{outlines} outlines, {name} of {entrants}")
        tally.close(told["finishers"][1], np.median(counts), 0.1 * entrants, f"{outlines} outlines, finishers")
        luck = np.quantile(counts, 0.95) - np.quantile(counts, 0.05)
        ours = told["finishers"][2] - told["finishers"][0]
        tally.check(ours >= 0.85 * luck, f"{outlines} outlines: finishers {told['finishers']}, but luck is {luck}")


def main():
    tally, rng = Tally(), np.random.default_rng(20260314)
    warnings.simplefilter("ignore")
    judge_order(tally)
    judge_censored(tally, rng)
    judge_mixed(tally, rng)
    judge_given_up(tally, rng)
    judge_races(tally, rng)
    print(f"minutes: {tally.passed} passed, {tally.failed} failed")
    sys.exit(1 if tally.failed or not tally.passed else 0)


if __name__ == "__main__":
    main()
