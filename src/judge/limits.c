/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/limits.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* Made from reference/use_bands.csv by make_bands. */
static const struct bt_band bands[] = {
#include "use_bands.inc"
};

struct bt_limits bt_limits_none(void)
{
    struct bt_limits none = {.use = "", .local_span = NAN, .confidence = 0.95};

    for (int i = 0; i < BT_FIGURE_COUNT; i++)
        none.limit[i] = NAN;
    return none;
}

size_t bt_band_count(void)
{
    return sizeof bands / sizeof *bands;
}

const struct bt_band *bt_band_at(size_t i)
{
    return i < bt_band_count() ? &bands[i] : NULL;
}

/* Not tolower, which depends on the locale. */
static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same(const char *name, const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (name[i] == '\0' || lower(text[i]) != name[i])
            return false;
    return name[length] == '\0';
}

const struct bt_band *bt_band_find(const char *use, size_t length)
{
    for (size_t i = 0; i < bt_band_count(); i++)
        if (same(bands[i].use, use, length))
            return &bands[i];
    return NULL;
}

const char *bt_figure_name(enum bt_figure figure)
{
#define BT_FIGURE_NAME(code, name) name,
    static const char *const names[] = {BT_FIGURE_LIST(BT_FIGURE_NAME)};
#undef BT_FIGURE_NAME
    if ((int)figure < 0 || figure >= BT_FIGURE_COUNT)
        return "unknown figure";
    return names[figure];
}

const char *bt_verdict_text(enum bt_verdict verdict)
{
    switch (verdict) {
    case BT_WITHIN:
        return "within";
    case BT_OVER:
        return "over";
    case BT_TOO_CLOSE:
        return "too close to call";
    case BT_NOT_SEEN:
        return "not seen";
    }
    return "unknown verdict";
}

double bt_p_within(double value, double u, double limit)
{
    double size = fabs(value), near, far;

    if (isnan(value) || !(u >= 0.0) || !(limit > 0.0))
        return NAN;
    if (!(u > 0.0))
        return size <= limit ? 1.0 : 0.0;
    /* distances to the nearer and to the farther limit; each tail is taken where it
     * is small, so that neither 1 - p nor a small p is lost in a difference */
    near = (limit - size) / u;
    far = (limit + size) / u;
    if (near >= 0.0)
        return 1.0 - (gsl_cdf_ugaussian_Q(near) + gsl_cdf_ugaussian_Q(far));
    return gsl_cdf_ugaussian_Q(-near) - gsl_cdf_ugaussian_Q(far);
}

double bt_guard_band(double u, double limit, double confidence)
{
    double low = 0, high = limit;

    if (!(confidence > 0.5) || !(confidence < 1.0) ||
        !(bt_p_within(0, u, limit) >= confidence))
        return NAN;
    if (!(u > 0.0))
        return 0;
    /* p falls with the size, and is below 1/2 at the limit; halved until doubles end */
    for (;;) {
        const double middle = low + (high - low) / 2;

        if (!(middle > low) || !(middle < high))
            return limit - low;
        if (bt_p_within(middle, u, limit) >= confidence)
            low = middle;
        else
            high = middle;
    }
}

struct bt_judgement bt_judge(enum bt_figure figure, double value, double u, bool seen,
                             double limit, double confidence)
{
    struct bt_judgement j = {figure, limit, value, u, NAN, BT_TOO_CLOSE, NAN, NAN, NAN};

    if (seen)
        j.p_within = bt_p_within(value, u, limit);
    if (!isnan(j.p_within))
        j.guard = bt_guard_band(u, limit, confidence);
    if (isnan(j.p_within)) {
        j.value = j.u = NAN;
        j.verdict = BT_NOT_SEEN;
    } else if (j.p_within >= confidence) {
        j.verdict = BT_WITHIN;
        j.risk_accepted = 1.0 - j.p_within;
    } else if (j.p_within <= 1.0 - confidence) {
        j.verdict = BT_OVER;
        j.risk_rejected = j.p_within;
    }
    return j;
}

enum bt_verdict bt_judge_interval(double limit, double lo, double hi)
{
    if (!(limit > 0.0) || !(lo <= hi))
        return BT_NOT_SEEN;
    return hi <= limit ? BT_WITHIN : lo > limit ? BT_OVER : BT_TOO_CLOSE;
}
