"""Freezes curves of strength: parameters to 16 digits, bands, criteria, diagnostics, comparisons, on two invented sets.

Parameters and covariances come from least squares in decimals of 50 digits, after SciPy found the same ones; what SciPy
and statsmodels compute themselves stands under their names with version and call.
"""

import math
import random
import sys
from decimal import Decimal, getcontext

import numpy as np
import statsmodels.api as sm
from exact import digits, nearest, squares
from frozen import package, plain, write
from scipy.optimize import brentq, curve_fit, isotonic_regression, least_squares
from scipy.stats import chi2, f, shapiro, t
from statsmodels.stats.diagnostic import het_breuschpagan

getcontext().prec = 50
COVERAGE = 0.95
AGREE = 1e-4  # SciPy with its default tolerance and the decimals, relative to the larger of parameter and uncertainty


def invented(seed, n, timbers, curve, of_timber, of_piece):
    """x in %, y in MPa, timber, wood: nothing of this was measured."""
    rng = random.Random(seed)
    factor = [math.exp(rng.gauss(0, of_timber)) for _ in range(timbers)]
    rows = []
    for k in range(n):
        timber = k % timbers
        x = round(15 + 85 * (k + rng.random()) / n, 1)
        wood = "oak" if timber % 3 else "pine"
        y = curve(x) * factor[timber] * (1 if wood == "oak" else 0.85) * math.exp(rng.gauss(0, of_piece)) + rng.gauss(0, 0.8)
        rows.append((x, round(y, 1), f"T{timber + 1}", wood))
    return rows


SETS = {
    "small": invented(12, 12, 4, lambda x: 62 / (1 + math.exp(-0.062 * (x - 58))), 0.03, 0.04),
    "large": invented(60, 60, 15, lambda x: 58 * (x / 100) ** 1.25, 0.07, 0.08),
}

# Each with its values and slopes in decimals, its values in floats, and a start.
HUNDRED, ONE = Decimal(100), Decimal(1)


def linear(x, b):
    return b[0] + b[1] * x, [ONE, x]


def power(x, b):
    log = (x / HUNDRED).ln()
    share = (b[1] * log).exp()
    return b[0] * share, [share, b[0] * share * log]


def exponential(x, b):
    share = (b[1] * x).exp()
    return b[0] * share, [share, b[0] * share * x]


def logistic(x, b):
    fall = (-b[1] * (x - b[2])).exp()
    share = 1 / (1 + fall)
    both = share * share * fall
    return b[0] * share, [share, b[0] * both * (x - b[2]), -b[0] * both * b[1]]


def gompertz(x, b):
    fall = (-b[1] * (x - b[2])).exp()
    share = (-fall).exp()
    return b[0] * share, [share, b[0] * share * fall * (x - b[2]), -b[0] * share * fall * b[1]]


MODELS = {
    "linear": ("a + b x", ["a", "b"], linear, lambda x, a, b: a + b * x, [0.0, 0.5]),
    "power": ("a (x/100)^b", ["a", "b"], power, lambda x, a, b: a * (x / 100) ** b, [50.0, 1.0]),
    "exponential": ("a exp(k x)", ["a", "k"], exponential, lambda x, a, k: a * np.exp(k * x), [5.0, 0.02]),
    "logistic": (
        "a / (1 + exp(-k (x - m)))", ["a", "k", "m"], logistic,
        lambda x, a, k, m: a / (1 + np.exp(-k * (x - m))), [60.0, 0.05, 60.0],
    ),
    "gompertz": (
        "a exp(-exp(-k (x - m)))", ["a", "k", "m"], gompertz,
        lambda x, a, k, m: a * np.exp(-np.exp(-k * (x - m))), [70.0, 0.03, 50.0],
    ),
}  # fmt: skip


def decimals(values):
    return [Decimal(str(v)) for v in values]


def near(what, ours, theirs, size, limit=AGREE):
    """SciPy or statsmodels must have found the same."""
    for a, b, s in zip(ours, theirs, size, strict=True):
        if not abs(float(a) - float(b)) <= limit * max(abs(float(a)), float(s)):
            sys.exit(f"{what}: {float(a)!r} and {float(b)!r}")


def found(name, x, y, weight=None):
    """Parameters, (J'WJ)^-1 and squares of a model, in decimals; SciPy starts and agrees."""
    _, _, curve, value, start = MODELS[name]
    sigma = None if weight is None else [1 / w for w in weight]
    there, covariance = curve_fit(value, np.array(x), np.array(y), p0=start, sigma=sigma, absolute_sigma=weight is not None, maxfev=20000)
    dx, dy = decimals(x), decimals(y)
    dw = [ONE] * len(x) if weight is None else [ONE / Decimal(str(s)) for s in sigma]
    b, inverse = nearest(dx, dy, dw, curve, [Decimal(float(v)) for v in there])
    rss = squares(dx, dy, dw, curve, b)
    scale = rss / (len(x) - len(b)) if weight is None else ONE
    sd = [(inverse[k][k] * scale).sqrt() for k in range(len(b))]
    near(f"curve_fit, {name}", b, there, sd)
    # SciPy differentiates numerically.
    near(f"curve_fit, {name}, sd", sd, np.sqrt(np.diag(covariance)), sd, 1e-3)
    tight = least_squares(
        lambda p: (value(np.array(x), *p) - np.array(y)) * (1 if weight is None else np.array(weight)),
        there, method="lm", x_scale=np.abs(there), xtol=1e-15, ftol=1e-15, gtol=1e-15,
    )  # fmt: skip
    # Along a valley floor the last steps of MINPACK differ from processor to processor (1.2e-6 was seen).
    near(f"least_squares, {name}", b, tight.x, sd, 1e-5)
    return b, inverse, rss, sd


def criteria(n, p, rss):
    """-2 ln L of normal scatter; k counts the residual standard deviation."""
    k, deviance = p + 1, n * (math.log(2 * math.pi * rss / n) + 1)
    return {"aicc": plain(deviance + 2 * k + 2 * k * (k + 1) / (n - k - 1)), "bic": plain(deviance + k * math.log(n))}


def profile(name, x, y, b, rss, sd):
    """Where the squares with one parameter held are rss + t^2 s^2; null where they never are."""
    value, n, p = MODELS[name][3], len(x), len(b)
    ax, ay, best = np.array(x), np.array(y), np.array([float(v) for v in b])
    limit = rss * (1 + t.ppf((1 + COVERAGE) / 2, n - p) ** 2 / (n - p))
    ends = []
    for k in range(p):
        others, pair = [i for i in range(p) if i != k], []
        for side in (-1, 1):
            start = best[others].copy()

            def excess(v):
                def residuals(free):
                    whole = np.empty(p)
                    whole[k], whole[others] = v, free
                    return value(ax, *whole) - ay

                # From where the last one ended and from the fit: the lower of the two.
                runs = [
                    least_squares(residuals, there, method="lm", x_scale=np.abs(there), xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=20000)
                    for there in (start.copy(), best[others])
                ]
                got = min(runs, key=lambda run: run.cost)
                start[:] = got.x
                return 2 * got.cost - limit

            step, inside = side * float(sd[k]), best[k]
            for _ in range(60):
                outside = inside + step
                if excess(outside) > 0:
                    pair.append(plain(f"{brentq(excess, inside, outside, xtol=1e-13 * abs(outside), rtol=1e-13):.7e}"))
                    break
                inside = outside
                step *= 1.2
            else:
                pair.append(None)
        ends.append(pair)
    return ends


def bands(name, x, b, inverse, rss, at):
    """Fit, its standard uncertainty, and the bands at each x."""
    curve, n, p = MODELS[name][2], len(x), len(b)
    s2 = rss / (n - p)
    quantile = Decimal(float(t.ppf((1 + COVERAGE) / 2, n - p)))
    scheffe = Decimal(float(math.sqrt(p * f.ppf(COVERAGE, p, n - p))))
    rows = []
    for place in at:
        value, slope = curve(Decimal(str(place)), b)
        u2 = s2 * sum(slope[i] * inverse[i][j] * slope[j] for i in range(p) for j in range(p))
        u = u2.sqrt()
        ends = {}
        for what, half in (("confidence", quantile * u), ("prediction", quantile * (s2 + u2).sqrt()), ("simultaneous", scheffe * u)):
            ends[what] = [digits(value - half), digits(value + half)]
        rows.append({"x": place, "fit": digits(value), "u": digits(u), **ends})
    return rows


def influence(name, x, y, b, inverse, rss):
    """Leverage, internally studentised residual and Cook's distance of each piece, from the slopes at the fit."""
    curve, n, p = MODELS[name][2], len(x), len(b)
    s2 = rss / (n - p)
    leverage, studentised, cook = [], [], []
    for u, v in zip(decimals(x), decimals(y), strict=True):
        value, slope = curve(u, b)
        h = sum(slope[i] * inverse[i][j] * slope[j] for i in range(p) for j in range(p))
        r = (v - value) / (s2 * (1 - h)).sqrt()
        leverage.append(digits(h))
        studentised.append(digits(r))
        cook.append(digits(r * r * h / (p * (1 - h))))
    return {"leverage": leverage, "studentised": studentised, "cook": cook}


def left_out(name, x, y, b):
    """Root mean square of what the curve of the others misses, each fitted anew."""
    curve, misses = MODELS[name][2], []
    for k in range(len(x)):
        dx, dy = decimals(x[:k] + x[k + 1 :]), decimals(y[:k] + y[k + 1 :])
        anew, _ = nearest(dx, dy, [ONE] * len(dx), curve, b)
        misses.append(Decimal(str(y[k])) - curve(Decimal(str(x[k])), anew)[0])
    return digits((sum(m * m for m in misses) / len(misses)).sqrt())


def scatter(fitted, residuals, studentised):
    """Tests of the residuals."""
    lm, lm_p, _, _ = het_breuschpagan(residuals, sm.add_constant(fitted), robust=True)
    w = shapiro(studentised)
    return {
        "breusch_pagan": {
            "version": package("statsmodels"), "call": "het_breuschpagan(residuals, add_constant(fitted), robust=True)",
            "statistic": plain(lm), "probability": plain(lm_p),
        },
        "shapiro": {
            "version": package("scipy"), "call": "shapiro(studentised)", "statistic": plain(w.statistic), "probability": plain(w.pvalue),
        },
    }  # fmt: skip


def one(name, x, y, at):
    """All of one model on one set."""
    formula, names, curve, _, _ = MODELS[name]
    b, inverse, rss, sd = found(name, x, y)
    n, p = len(x), len(b)
    centre = sum(decimals(y)) / n
    fitted = np.array([float(curve(u, b)[0]) for u in decimals(x)])
    told = influence(name, x, y, b, inverse, rss)
    return {
        "formula": formula,
        "names": names,
        "parameters": [digits(v) for v in b],
        "sd": [digits(v) for v in sd],
        "correlation": [[digits(inverse[i][j] / (inverse[i][i] * inverse[j][j]).sqrt()) for j in range(p)] for i in range(p)],
        "rss": digits(rss),
        "residual_sd": digits((rss / (n - p)).sqrt()),
        "r_squared": digits(1 - rss / sum((v - centre) ** 2 for v in decimals(y))),
        **criteria(n, p, float(rss)),
        "profile": profile(name, x, y, b, float(rss), sd),
        "bands": bands(name, x, b, inverse, rss, at),
        "influence": told,
        "scatter": scatter(fitted, np.array(y) - fitted, np.array(told["studentised"])),
        **({"loo_rmse": left_out(name, x, y, b)} if n < 20 or name == "linear" else {}),
    }


def ordinary(x, y, timber, at):
    """The straight line by statsmodels; the decimals must have told the same."""
    design = sm.add_constant(np.array(x))
    fit = sm.OLS(np.array(y), design).fit()
    told = fit.get_influence()
    b, inverse, rss, sd = found("linear", x, y)
    mine = influence("linear", x, y, b, inverse, rss)
    for what, theirs in (
        ("leverage", told.hat_matrix_diag), ("studentised", told.resid_studentized_internal), ("cook", told.cooks_distance[0]),
    ):  # fmt: skip
        near(f"statsmodels, {what}", mine[what], theirs, [1e-3] * len(x), 1e-9)
    frame = fit.get_prediction(sm.add_constant(np.array(at), has_constant="add")).summary_frame(alpha=1 - COVERAGE)
    clustered = fit.get_robustcov_results("cluster", groups=np.unique(timber, return_inverse=True)[1])
    return {
        "version": package("statsmodels"),
        "call": "OLS(y, add_constant(x)).fit(); .get_influence(); .get_prediction(add_constant(at)).summary_frame(alpha=0.05); "
        ".get_robustcov_results('cluster', groups=timber) with its correction G/(G-1) (n-1)/(n-p)",
        "parameters": [plain(v) for v in fit.params],
        "sd": [plain(v) for v in fit.bse],
        "aic_without_the_scatter": plain(fit.aic),
        "bic_without_the_scatter": plain(fit.bic),
        "leverage": [plain(v) for v in told.hat_matrix_diag],
        "studentised": [plain(v) for v in told.resid_studentized_internal],
        "studentised_externally": [plain(v) for v in told.resid_studentized_external],
        "cook": [plain(v) for v in told.cooks_distance[0]],
        "at": at,
        "mean": [plain(v) for v in frame["mean"]],
        "u": [plain(v) for v in frame["mean_se"]],
        "confidence": [[plain(a), plain(b)] for a, b in zip(frame["mean_ci_lower"], frame["mean_ci_upper"], strict=True)],
        "prediction": [[plain(a), plain(b)] for a, b in zip(frame["obs_ci_lower"], frame["obs_ci_upper"], strict=True)],
        "clustered_covariance": [[plain(v) for v in row] for row in clustered.cov_params()],
        "n_timbers": len(set(timber)),
    }


def extra(rss_simple, free_simple, rss_full, free_full):
    """Extra-sum-of-squares F."""
    df1 = free_simple - free_full
    statistic = (rss_simple - rss_full) / df1 / (rss_full / free_full)
    return {"f": plain(statistic), "df": [df1, free_full], "probability": plain(f.sf(float(statistic), df1, free_full))}


def groups(x, y, wood):
    """Power by wood: one curve, one exponent with a factor for each wood, a curve for each wood; the line by statsmodels."""
    n, woods = len(x), sorted(set(wood))
    dx, dy, dw = decimals(x), decimals(y), [ONE] * n
    place = {u: k for k, u in enumerate(woods)}
    b, _, one_rss, _ = found("power", x, y)

    def shared(pair, b):
        u, k = pair
        value, slope = power(u, [b[k], b[-1]])
        return value, [slope[0] if i == k else Decimal(0) for i in range(len(woods))] + [slope[1]]

    pairs = list(zip(dx, (place[w] for w in wood), strict=True))
    sb, sinverse = nearest(pairs, dy, dw, shared, [b[0]] * len(woods) + [b[1]])
    shared_rss = squares(pairs, dy, dw, shared, sb)
    scale = shared_rss / (n - len(sb))
    apart = {}
    for name in woods:
        keep = [k for k in range(n) if wood[k] == name]
        gb, _, rss, sd = found("power", [x[k] for k in keep], [y[k] for k in keep])
        apart[name] = {"n": len(keep), "parameters": [digits(v) for v in gb], "sd": [digits(v) for v in sd], "rss": digits(rss), "exact": rss}
    apart_rss = sum(group.pop("exact") for group in apart.values())
    ax, is_pine = np.array(x), np.array([w == woods[-1] for w in wood], dtype=float)
    whole = sm.OLS(np.array(y), np.column_stack([np.ones(n), ax])).fit()
    both = sm.OLS(np.array(y), np.column_stack([np.ones(n), ax, is_pine, is_pine * ax])).fit()
    fvalue, probability, df = both.compare_f_test(whole)
    p = 2
    return {
        "version": package("scipy"),
        "call": "least squares in decimals; scipy.stats.f.sf for the probabilities",
        "model": "a (x/100)^b",
        "woods": woods,
        "one": {"rss": digits(one_rss), "free": n - p},
        "shared_exponent": {
            "names": [f"a, {name}" for name in woods] + ["b"], "parameters": [digits(v) for v in sb],
            "sd": [digits((sinverse[k][k] * scale).sqrt()) for k in range(len(sb))], "rss": digits(shared_rss), "free": n - len(sb),
        },
        "apart": {"groups": apart, "rss": digits(apart_rss), "free": n - p * len(woods)},
        "one_or_apart": extra(one_rss, n - p, apart_rss, n - p * len(woods)),
        "one_or_shared": extra(one_rss, n - p, shared_rss, n - len(sb)),
        "shared_or_apart": extra(shared_rss, n - len(sb), apart_rss, n - p * len(woods)),
        "line_one_or_apart": {
            "version": package("statsmodels"), "call": "OLS with intercept and slope for each wood .compare_f_test(OLS of all)",
            "f": plain(fvalue), "df": [plain(df), plain(both.df_resid)], "probability": plain(probability),
        },
    }  # fmt: skip


def known(x, y):
    """The power with standard uncertainties that are known: 10 % and 1.5 MPa."""
    u = [round(math.hypot(0.1 * v, 1.5), 2) for v in y]
    b, inverse, rss, sd = found("power", x, y, [1 / v for v in u])
    free = len(x) - len(b)
    return {
        "version": package("scipy"),
        "call": "curve_fit(power, x, y, sigma=u, absolute_sigma=True), then decimals; chi2.sf(rss, n - p)",
        "u": u,
        "parameters": [digits(v) for v in b],
        "sd": [digits(v) for v in sd],
        "chi_squared": digits(rss),
        "probability": plain(chi2.sf(float(rss), free)),
    }


def monotone(x, y):
    """Isotonic regression in the order of x; here no two x are equal."""
    order = np.argsort(np.array(x), kind="stable")
    ordered = np.array(y)[order]
    weights = 1 + np.arange(len(x)) % 3
    return {
        "version": package("scipy"),
        "call": "isotonic_regression(y in the order of x, weights=None | 1, 2, 3, 1, 2, 3, ...).x; increasing=False for the last",
        "x": [x[k] for k in order],
        "rising": [plain(v) for v in isotonic_regression(ordered).x],
        "rising_weighted": [plain(v) for v in isotonic_regression(ordered, weights=weights).x],
        "falling": [plain(v) for v in isotonic_regression(ordered, increasing=False).x],
    }


def weights(models):
    """Akaike weights."""
    least = min(model["aicc"] for model in models.values())
    raw = {name: math.exp(-(model["aicc"] - least) / 2) for name, model in models.items()}
    return {name: plain(value / sum(raw.values())) for name, value in raw.items()}


def whole(rows):
    x, y, timber, wood = (list(column) for column in zip(*rows, strict=True))
    if len(set(x)) != len(x):
        sys.exit("two x are equal")
    at = [10.0, 20.0, 35.0, 50.0, 65.0, 80.0, 95.0, 105.0]
    models = {name: one(name, x, y, at) for name in MODELS}
    return {
        "x": x, "y": y, "timber": timber, "wood": wood,
        "models": models,
        "aicc_weights": weights(models),
        "line": ordinary(x, y, timber, at),
        "groups": groups(x, y, wood),
        "known": known(x, y),
        "monotone": monotone(x, y),
    }  # fmt: skip


write("strength.json", {
    "units": {"x": "%", "y": "MPa"},
    "data": "invented; made by the script with random.Random",
    "version": f"{package('scipy')}, {package('statsmodels')}, {package('numpy')}; Python standard library, decimal, 50 digits",
    "call": "scipy.optimize.curve_fit and least_squares(method='lm', xtol=ftol=gtol=1e-15) find the parameters; Gauss-Newton in "
    "decimals ends at their last digit; profile: brentq over least_squares, 8 digits",
    "coverage": COVERAGE,
    "definitions": {
        "aicc": "n (ln(2 pi rss/n) + 1) + 2 k + 2 k (k + 1)/(n - k - 1), k = p + 1",
        "bic": "n (ln(2 pi rss/n) + 1) + k ln n, k = p + 1",
        "profile": "ends where rss with that parameter held is rss + t^2 s^2; null where never",
        "bands": "confidence y -+ t u, prediction y -+ t sqrt(s^2 + u^2), simultaneous y -+ sqrt(p F) u",
        "studentised": "e / (s sqrt(1 - h)), s of all pieces",
        "cook": "studentised^2 h / (p (1 - h))",
        "loo_rmse": "sqrt(mean (y - curve of the others)^2)",
    },
    "sets": {name: whole(rows) for name, rows in SETS.items()},
})
