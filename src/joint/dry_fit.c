/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/dry_fit.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/*
 * With x = 2 at/L - 1 the columns are of the size of 1 and the unknowns are all gaps:
 * c + s L/2, s L/2, h, a t/2, w t/4, the last two with the sign of the face.
 *
 * An unknown is determined where its column does not follow from the others.  What is
 * left of the column when the others are swept out of it, d, gives the unknown,
 * (d b)/(d d), and its variance, 1/(d d): the same as solving for all of them (Frisch
 * and Waugh), and no matrix need be inverted that others make singular.
 */
enum column { LEVEL, LEAN, HOLLOW, ANGLE, WIND, COLUMNS };

/* Columns are of the size of 1: less than this left over is rounding. */
#define DEPENDENT 1e-9

struct fit {
    const struct bt_dry_joint_request *request;
    size_t n, columns;      /* wind is left out where it is not determined */
    double *base[COLUMNS];  /* n each, orthonormal */
    double *column, *right; /* n */
};

static double design(const struct fit *fit, int column, size_t i)
{
    const struct bt_dry_gap *gap = &fit->request->gap[i];
    double x = 2.0 * (gap->at / fit->request->length) - 1.0;
    double face = gap->show ? 1.0 : -1.0;

    switch (column) {
    case LEAN:
        return x;
    case HOLLOW:
        return 1.0 - x * x;
    case ANGLE:
        return face;
    case WIND:
        return face * x;
    default:
        return 1.0;
    }
}

static double dot(size_t n, const double a[], const double b[])
{
    double sum = 0.0;

    for (size_t i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Take out of v what lies along the first `count` of the base, twice, since once leaves
 * rounding along them. */
static void sweep(const struct fit *fit, size_t count, double v[])
{
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < count; k++) {
            double along = dot(fit->n, fit->base[k], v);

            for (size_t i = 0; i < fit->n; i++)
                v[i] -= along * fit->base[k][i];
        }
}

static void fill(const struct fit *fit, int column, bool weighted, double v[])
{
    for (size_t i = 0; i < fit->n; i++)
        v[i] = design(fit, column, i) / (weighted ? fit->request->gap[i].u : 1.0);
}

/* Add v, swept, to the base unless it follows from what is there. */
static bool extend(struct fit *fit, size_t count, double v[])
{
    double length;

    sweep(fit, count, v);
    length = sqrt(dot(fit->n, v, v));
    for (size_t i = 0; i < fit->n; i++)
        fit->base[count][i] = v[i] / length;
    return length > 0.0;
}

/*
 * Base of all columns but one (COLUMNS: of all), without those that follow from others.
 * Which do is decided without weights: weights change no dependence, only how well it
 * can be told.  Returns how many it has; *determined: whether the one is not among what
 * they span.
 */
static size_t span(struct fit *fit, int but, bool *determined)
{
    bool use[COLUMNS] = {false};
    double limit = DEPENDENT * sqrt((double)fit->n);
    size_t count = 0;

    for (int k = 0; k < (int)fit->columns; k++) {
        if (k == but)
            continue;
        fill(fit, k, false, fit->column);
        sweep(fit, count, fit->column);
        use[k] = sqrt(dot(fit->n, fit->column, fit->column)) > limit &&
                 extend(fit, count, fit->column);
        count += use[k] ? 1 : 0;
    }
    *determined = false;
    if (but < COLUMNS) {
        fill(fit, but, false, fit->column);
        sweep(fit, count, fit->column);
        *determined = sqrt(dot(fit->n, fit->column, fit->column)) > limit;
    }
    count = 0;
    for (int k = 0; k < (int)fit->columns; k++)
        if (use[k]) {
            fill(fit, k, true, fit->column);
            count += extend(fit, count, fit->column) ? 1 : 0;
        }
    return count;
}

static void fill_right(struct fit *fit)
{
    for (size_t i = 0; i < fit->n; i++)
        fit->right[i] = fit->request->gap[i].gap / fit->request->gap[i].u;
}

static struct bt_measured not_seen(void)
{
    return (struct bt_measured){.value = NAN, .u = NAN, .seen = false};
}

/* One unknown, times scale. */
static struct bt_measured unknown(struct fit *fit, int column, double scale)
{
    bool determined;
    size_t count = span(fit, column, &determined);
    double square;

    if (!determined)
        return not_seen();
    fill(fit, column, true, fit->column);
    sweep(fit, count, fit->column);
    fill_right(fit);
    square = dot(fit->n, fit->column, fit->column);
    return (struct bt_measured){.value = dot(fit->n, fit->column, fit->right) / square *
                                         scale,
                                .u = scale / sqrt(square),
                                .seen = true};
}

static void find_chi2(struct fit *fit, struct bt_dry_joint *joint)
{
    bool ignored;
    size_t count = span(fit, COLUMNS, &ignored);

    fill_right(fit);
    sweep(fit, count, fit->right);
    joint->dof = fit->n - count;
    joint->chi2 = joint->dof > 0 ? dot(fit->n, fit->right, fit->right) : 0.0;
    joint->chi2_p =
        joint->dof > 0 ? gsl_cdf_chisq_Q(joint->chi2, (double)joint->dof) : NAN;
}

static void find_largest(const struct bt_dry_joint_request *request,
                         struct bt_dry_joint *joint)
{
    joint->largest = request->gap[0].gap;
    joint->largest_gap = 0;
    for (size_t i = 1; i < request->ngap; i++)
        if (request->gap[i].gap > joint->largest) {
            joint->largest = request->gap[i].gap;
            joint->largest_gap = i;
        }
}

/* All figures; false where one is not a finite number. */
static bool find_figures(struct fit *fit, struct bt_dry_joint *joint)
{
    double t = fit->request->thickness, enlarge;
    struct bt_measured *figure[] = {&joint->angle, &joint->wind, &joint->hollow};

    fit->columns = COLUMNS;
    joint->wind = unknown(fit, WIND, 4.0 / t);
    if (!joint->wind.seen)
        fit->columns = WIND;
    joint->angle = unknown(fit, ANGLE, 2.0 / t);
    joint->hollow = unknown(fit, HOLLOW, 1.0);
    find_chi2(fit, joint);
    enlarge = joint->dof > 0 ? sqrt(fmax(1.0, joint->chi2 / (double)joint->dof)) : 1.0;
    for (size_t k = 0; k < sizeof figure / sizeof *figure; k++) {
        figure[k]->u *= enlarge;
        if (figure[k]->seen && (!isfinite(figure[k]->value) || !isfinite(figure[k]->u)))
            return false;
    }
    joint->opening = joint->angle;
    if (joint->angle.seen) {
        joint->opening.value = fabs(joint->angle.value) * t;
        joint->opening.u = joint->angle.u * t;
        joint->opens_at_show = joint->angle.value > 0.0;
    }
    return isfinite(joint->chi2);
}

/* Of a figure in mm that may lie from -below to above. */
static enum bt_dry_verdict judge(struct bt_measured m, double scale, double below,
                                 double above, double confidence)
{
    double u = m.u * scale, p;

    if (!m.seen)
        return BT_DRY_NOT_SEEN;
    p = gsl_cdf_ugaussian_P((above - m.value * scale) / u) -
        gsl_cdf_ugaussian_P((-below - m.value * scale) / u);
    if (p >= confidence)
        return BT_DRY_CLOSES;
    return p <= 1.0 - confidence ? BT_DRY_OPEN : BT_DRY_TOO_CLOSE;
}

static void find_verdicts(const struct bt_dry_joint_request *r, double closes,
                          struct bt_dry_joint *joint)
{
    joint->angle_verdict =
        judge(joint->angle, r->thickness, r->gap_most, r->gap_most, r->confidence);
    joint->wind_verdict =
        judge(joint->wind, r->thickness / 2.0, r->gap_most, r->gap_most, r->confidence);
    joint->straight_verdict =
        judge(joint->hollow, 1.0, r->gap_most, r->gap_most + closes, r->confidence);
}

static void find_mend(const struct bt_dry_joint_request *r, double closes,
                      struct bt_dry_joint *joint)
{
    enum bt_dry_verdict verdict[] = {joint->angle_verdict, joint->wind_verdict,
                                     joint->straight_verdict};
    bool crown = joint->hollow.value < 0.0;
    double share[] = {joint->opening.value / r->gap_most,
                      fabs(joint->wind.value) * r->thickness / 2.0 / r->gap_most,
                      fabs(joint->hollow.value) /
                          (r->gap_most + (crown ? 0.0 : closes))};
    double largest = 0.0;

    joint->mend = BT_MEND_NOTHING;
    for (int k = 0; k < 3; k++)
        if (verdict[k] != BT_DRY_CLOSES)
            joint->mend = BT_MEND_READ_MORE;
    for (int k = 0; k < 3; k++) {
        if (verdict[k] != BT_DRY_OPEN || !(share[k] > largest))
            continue;
        largest = share[k];
        joint->mend = k == 0   ? BT_MEND_ANGLE
                      : k == 1 ? BT_MEND_WIND
                      : crown  ? BT_MEND_CROWN
                               : BT_MEND_HOLLOW;
    }
}

static enum bt_status validate(const struct bt_dry_joint_request *r,
                               struct bt_error *err)
{
    const char *fault = NULL;

    if (r->ngap == 0)
        fault = "no gap of the joint is read";
    else if (!(r->length > 0.0 && isfinite(r->length)))
        fault = "the length of the joint is not a positive number";
    else if (!(r->thickness > 0.0 && isfinite(r->thickness)))
        fault = "the thickness of the joint is not a positive number";
    else if (!(r->gap_most > 0.0 && isfinite(r->gap_most)))
        fault = "the gap that the glue bridges is not a positive number";
    else if (!isnan(r->closes) && !(r->closes >= 0.0 && isfinite(r->closes)))
        fault = "the hollow that the clamps close is not a number of 0 or more";
    else if (!(r->confidence >= 0.5 && r->confidence < 1.0))
        fault = "the confidence does not lie between 0.5 and 1";
    if (fault)
        return bt_error_set(err, BT_EINPUT, 0, 0, "%s", fault);
    for (size_t i = 0; i < r->ngap; i++) {
        const struct bt_dry_gap *g = &r->gap[i];

        if (!(g->at >= 0.0 && g->at <= r->length))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "the place of gap %zu does not lie on the joint",
                                i + 1);
        if (!(g->gap >= 0.0 && isfinite(g->gap)))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "gap %zu is not a number of 0 or more", i + 1);
        if (!(g->u > 0.0 && isfinite(g->u)))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "the uncertainty of gap %zu is not a positive number",
                                i + 1);
    }
    return BT_OK;
}

enum bt_status bt_dry_joint_fit(const struct bt_dry_joint_request *request,
                                struct bt_dry_joint *joint, struct bt_error *err)
{
    enum bt_status status = validate(request, err);
    struct fit fit = {.request = request, .n = request->ngap};
    double closes = isnan(request->closes) ? 0.0 : request->closes, *block;
    struct bt_dry_joint made = {0};

    if (status != BT_OK)
        return status;
    block = bt_alloc(fit.n, (COLUMNS + 2) * sizeof *block);
    if (!block)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (int k = 0; k < COLUMNS; k++)
        fit.base[k] = block + (size_t)k * fit.n;
    fit.column = block + COLUMNS * fit.n;
    fit.right = fit.column + fit.n;
    if (find_figures(&fit, &made)) {
        find_largest(request, &made);
        find_verdicts(request, closes, &made);
        find_mend(request, closes, &made);
        *joint = made;
    } else {
        status = bt_error_set(err, BT_EINPUT, 0, 0,
                              "the numbers are too large or too small to compute with");
    }
    bt_free(block);
    return status;
}

const char *bt_dry_verdict_name(enum bt_dry_verdict verdict)
{
    switch (verdict) {
    case BT_DRY_CLOSES:
        return "closes";
    case BT_DRY_OPEN:
        return "open";
    case BT_DRY_TOO_CLOSE:
        return "too close to call";
    case BT_DRY_NOT_SEEN:
        return "not seen";
    }
    return "unknown verdict";
}
