/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/flatness.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/scan.h"
#include "surface/correcting.h"
#include "surface/form_rows.h"
#include "surface/loose.h"
#include "surface/suspects.h"

static const struct bt_measured not_seen = {NAN, NAN, false};

/* A largest figure with its contacts held: coefficients c, made relative to the plane.
 */
static enum bt_status contact_figure(const struct bt_network *net, double c[],
                                     struct bt_measured *out)
{
    enum bt_status status = bt_network_take_off_plane(net, c);

    if (status == BT_OK)
        status = bt_network_figure(net, c, &out->value, &out->u, &out->seen);
    return status;
}

static enum bt_status largest_figures(struct bt_flatness *f)
{
    const size_t n = f->net->npoint;
    struct bt_residual_figures *r = &f->residual;
    double *c = bt_alloc(n, sizeof *c), square = 0, square_u = 0;
    enum bt_status status = c ? BT_OK : BT_ENOMEM;

    for (size_t p = 0; p < n && status == BT_OK; p++) {
        if (f->z[p] > f->z[r->highest])
            r->highest = p;
        if (f->z[p] < f->z[r->lowest])
            r->lowest = p;
        square += f->z[p] * f->z[p];
        square_u += f->u[p] * f->u[p];
    }
    if (status == BT_OK) {
        c[r->highest] = 1;
        status = contact_figure(f->net, c, &r->peak);
    }
    if (status == BT_OK) {
        memset(c, 0, n * sizeof *c);
        c[r->lowest] = 1;
        status = contact_figure(f->net, c, &r->valley);
    }
    if (status == BT_OK) {
        memset(c, 0, n * sizeof *c);
        c[r->highest] += 1;
        c[r->lowest] -= 1;
        status = contact_figure(f->net, c, &r->range);
    }
    if (status == BT_OK) {
        const double rms = sqrt(square / (double)n);
        /* At 0 the slope is undefined; the mean square of the doubt stands for it. */
        r->rms = (struct bt_measured){rms, sqrt(square_u / (double)n), true};
        for (size_t p = 0; p < n && rms > 0; p++)
            c[p] = f->z[p] / ((double)n * rms);
        if (rms > 0)
            status = contact_figure(f->net, c, &r->rms);
    }
    bt_free(c);
    return status;
}

static enum bt_status residual_figures(struct bt_flatness *f)
{
    f->residual =
        (struct bt_residual_figures){not_seen, not_seen, not_seen, not_seen, 0, 0};
    for (size_t p = 0; p < f->net->npoint; p++)
        if (isnan(f->z[p]))
            return BT_OK;
    return largest_figures(f);
}

/* A million times: fmin and fmax would be calls. */
static void include(double *low, double *high, double v)
{
    if (v < *low)
        *low = v;
    if (v > *high)
        *high = v;
}

static struct bt_rectangle rectangle_of(const struct bt_readings *r, double length,
                                        double width)
{
    struct bt_rectangle box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};

    for (size_t p = 0; p < r->npoint; p++) {
        include(&box.x0, &box.x1, r->point[p].x);
        include(&box.y0, &box.y1, r->point[p].y);
    }
    if (length > 0) {
        box.x0 = 0;
        box.x1 = length;
    }
    if (width > 0) {
        box.y0 = 0;
        box.y1 = width;
    }
    return box;
}

/* The plane of heights typed over one reference; a place read twice counts with the
 * mean of its readings by weight. */
static enum bt_status typed_plane(const struct bt_readings *r, struct bt_flatness *f,
                                  struct bt_error *err)
{
    double *z = bt_alloc(2 * r->npoint, sizeof *z), *w = z ? z + r->npoint : NULL;
    enum bt_status status = BT_ENOMEM;

    if (z) {
        for (size_t i = 0; i < r->nobs; i++) {
            const double weight = 1 / (r->obs[i].u * r->obs[i].u);
            z[r->obs[i].point[0]] += weight * r->obs[i].value;
            w[r->obs[i].point[0]] += weight;
        }
        for (size_t p = 0; p < r->npoint; p++)
            z[p] /= w[p];
        status = bt_plane_fit(r->npoint, r->point, z, &f->plane, NULL, err);
        f->plane_known = status == BT_OK;
    }
    bt_free(z);
    return status;
}

/*
 * Whether the places count as one line, as the places of one straightedge line do that
 * lie within 2 mm and 1 % of its length on either side.
 */
static bool on_one_line(const struct bt_readings *r)
{
    double x = 0, y = 0, xx = 0, xy = 0, yy = 0, angle, c, s;
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};

    for (size_t p = 0; p < r->npoint; p++) {
        x += r->point[p].x / (double)r->npoint;
        y += r->point[p].y / (double)r->npoint;
    }
    for (size_t p = 0; p < r->npoint; p++) {
        const double dx = r->point[p].x - x, dy = r->point[p].y - y;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    angle = atan2(2 * xy, xx - yy) / 2; /* of the longer principal axis */
    c = cos(angle);
    s = sin(angle);
    for (size_t p = 0; p < r->npoint; p++) {
        const double dx = r->point[p].x - x, dy = r->point[p].y - y;
        include(&low[0], &high[0], dx * c + dy * s);
        include(&low[1], &high[1], dy * c - dx * s);
    }
    return high[1] - low[1] <= fmin(2 * 2.0, 2 * 0.01 * (high[0] - low[0]));
}

/* Leave out what hangs loose, so that its places do not move the plane of the others.
 */
static enum bt_status take_readings(const struct bt_readings *r, struct bt_flatness *f)
{
    bool *loose = bt_alloc(r->nobs, sizeof *loose);
    enum bt_status status = loose ? BT_OK : BT_ENOMEM;

    f->used = r;
    if (status == BT_OK)
        status = bt_loose_find(r, loose, &f->nloose);
    if (status == BT_OK && f->nloose) {
        f->own = bt_alloc(1, sizeof *f->own);
        f->from = bt_alloc(r->nobs, sizeof *f->from);
        f->loose = bt_alloc(f->nloose, sizeof *f->loose);
        status = f->own && f->from && f->loose
                     ? bt_loose_leave_out(r, loose, f->own, f->from)
                     : BT_ENOMEM;
        for (size_t i = 0, n = 0; status == BT_OK && i < r->nobs; i++)
            if (loose[i])
                f->loose[n++] = i;
        f->used = f->own;
    }
    bt_free(loose);
    return status;
}

/* ---- what the u is made of ---- */

enum bt_status bt_flatness_doubt(struct bt_flatness *flatness, enum bt_doubt_of figure,
                                 const double c[])
{
    const struct bt_network *net = flatness->net;
    double *gain;
    enum bt_status status;

    if (!net->inverse)
        return BT_OK; /* a scan: no readings to take apart */
    if (!bt_network_sees(net, c))
        return BT_OK;
    gain = bt_alloc(net->nobs, sizeof *gain);
    status = gain ? bt_network_gains(net, c, gain) : BT_ENOMEM;
    if (status == BT_OK)
        status = bt_corrections_split(flatness->used, gain, figure, flatness);
    bt_free(gain);
    return status;
}

static enum bt_status doubt_of_twist(const struct bt_readings *all,
                                     struct bt_flatness *f)
{
    double *gain = bt_alloc(all->nobs, sizeof *gain);
    enum bt_status status = BT_ENOMEM;

    if (gain)
        status = bt_form_direct_row(all, &f->form.rectangle, gain);
    if (status == BT_OK)
        status = bt_corrections_split(all, gain, BT_DOUBT_TWIST, f);
    bt_free(gain);
    return status;
}

static enum bt_status doubts(struct bt_flatness *f)
{
    const bool seen[] = {[BT_DOUBT_CUP] = f->form.cup.seen,
                         [BT_DOUBT_BOW] = f->form.bow.seen,
                         [BT_DOUBT_TWIST] =
                             f->form.twist.seen && !f->form.twist_from_readings};
    double *c = bt_alloc(f->net->npoint, sizeof *c);
    enum bt_status status = c ? BT_OK : BT_ENOMEM;

    for (int k = BT_DOUBT_CUP; k <= BT_DOUBT_TWIST && status == BT_OK; k++) {
        if (!seen[k])
            continue;
        status = bt_form_row(f->net, &f->form.rectangle, (enum bt_doubt_of)k, c);
        if (status == BT_OK)
            status = bt_flatness_doubt(f, (enum bt_doubt_of)k, c);
    }
    if (status == BT_OK && f->form.twist_from_readings)
        status = doubt_of_twist(f->all, f);
    if (status == BT_OK && f->residual.range.seen) {
        memset(c, 0, f->net->npoint * sizeof *c);
        c[f->residual.highest] += 1;
        c[f->residual.lowest] -= 1;
        status = bt_network_take_off_plane(f->net, c);
        if (status == BT_OK)
            status = bt_flatness_doubt(f, BT_DOUBT_RANGE, c);
    }
    bt_free(c);
    return status;
}

enum bt_agreement bt_flatness_agreement(const struct bt_flatness *flatness)
{
    /* both tails: 5 % in all */
    static const double tail = 0.025;

    if (isnan(flatness->agreement))
        return BT_AGREE_UNKNOWN;
    if (flatness->agreement < tail)
        return BT_AGREE_TOO_BAD;
    return flatness->agreement > 1 - tail ? BT_AGREE_TOO_GOOD : BT_AGREE;
}

/* ---- all of it ---- */

static enum bt_status adjust(struct bt_flatness *f, struct bt_error *err)
{
    const struct bt_readings *r = f->used;
    enum bt_status status =
        bt_corrections_adjust(r, &f->net, &f->correction, &f->ncorrection, err);

    if (status != BT_OK)
        return status;
    f->z = bt_alloc(r->npoint, sizeof *f->z);
    f->u = bt_alloc(r->npoint, sizeof *f->u);
    return f->z && f->u ? bt_corrections_share(r, f) : BT_ENOMEM;
}

/* Form of the readings that are left, with what hangs loose then left out as well. */
static enum bt_status form_of_rest(const struct bt_readings *left,
                                   const struct bt_flatness_options *options,
                                   struct bt_form *form)
{
    const struct bt_rectangle box = rectangle_of(left, options->length, options->width);
    struct bt_flatness rest = {.all = left};
    enum bt_status status = BT_EINPUT;

    if (left->npoint >= 3 && !on_one_line(left))
        status = take_readings(left, &rest);
    if (status == BT_OK)
        status = adjust(&rest, NULL);
    if (status == BT_OK)
        status = bt_form_fit(left, rest.net, &box, form, NULL);
    bt_flatness_clear(&rest);
    return status;
}

/* What the figures would be without the suspects. */
static enum bt_status without_suspects(const struct bt_flatness_options *options,
                                       struct bt_flatness *f)
{
    const struct bt_readings *r = f->used;
    struct bt_readings left = {.npoint = 0};
    struct bt_form form;
    bool *out = bt_alloc(r->nobs, sizeof *out);
    size_t *from = bt_alloc(r->nobs, sizeof *from);
    enum bt_status status = BT_ENOMEM;

    for (size_t s = 0; out && s < f->nsuspect; s++)
        out[f->suspect[s].obs] = true;
    if (out && from)
        status = bt_loose_leave_out(r, out, &left, from);
    if (status == BT_OK)
        status = form_of_rest(&left, options, &form);
    if (status == BT_OK)
        f->without = (struct bt_form_without){true, form.bow, form.cup, form.twist};
    bt_readings_clear(&left);
    bt_free(out);
    bt_free(from);
    return status == BT_ENOMEM ? status : BT_OK; /* too few are left, or too many */
}

static enum bt_status evaluate(const struct bt_flatness_options *options,
                               struct bt_flatness *f, struct bt_error *err)
{
    const struct bt_readings *all = f->all;
    struct bt_rectangle box;
    const struct bt_readings *r;
    enum bt_status status = take_readings(all, f);

    if (status != BT_OK)
        return status;
    r = f->used;
    status = adjust(f, err);
    if (status == BT_OK)
        status = bt_network_heights(f->net, f->z, f->u, err);
    if (status == BT_OK)
        status = residual_figures(f);
    if (status == BT_OK && options->one_reference)
        status = typed_plane(r, f, err);
    box = rectangle_of(all, options->length, options->width);
    if (status == BT_OK)
        status = bt_form_fit(all, f->net, &box, &f->form, err);
    if (status == BT_OK)
        status = bt_unseen_name(f->net, f->unseen, &f->nunseen);
    if (status == BT_OK)
        status = bt_unseen_best_line(f->net, &box, &f->best_line);
    if (status == BT_OK)
        status = bt_suspects_find(r, f);
    if (status == BT_OK && f->nsuspect)
        status = without_suspects(options, f);
    if (status == BT_OK)
        status = doubts(f);
    if (f->net && f->net->dof)
        f->agreement = gsl_cdf_chisq_Q(f->net->vtpv, (double)f->net->dof);
    return status;
}

/* The counts that a consumer of an adjustment looks at. */
static struct bt_network *network_of_scan(size_t n)
{
    struct bt_network *net = bt_alloc(1, sizeof *net);

    if (net) {
        net->npoint = net->nobs = net->unknowns = net->rank = n;
        net->sigma0 = net->least_eigenvalue = NAN;
    }
    return net;
}

/* The u of a figure with what the own weight leaves unsure of it, which changed it by
 * `change`. */
static void share_weight(struct bt_measured *m, enum bt_doubt_of figure, double change,
                         double sag_u, struct bt_flatness *f)
{
    if (!m->seen)
        return;
    f->readings_u[figure][BT_READ_SCAN] = m->u;
    if (!f->ncorrection)
        return;
    f->correction->change[figure] = change;
    f->correction->share[figure] = -sag_u * change;
    m->u = hypot(m->u, sag_u * change);
}

/* What the own weight changed: figures are linear in the heights, and the contacts of
 * the range are held. */
static void weight_of_scan(const struct bt_readings *r, const struct bt_form *typed,
                           struct bt_flatness *f, const double flat_sag[])
{
    struct bt_residual_figures *figure = &f->residual;
    const double peak = flat_sag ? -flat_sag[figure->highest] : 0;
    const double valley = flat_sag ? -flat_sag[figure->lowest] : 0;

    share_weight(&f->form.cup, BT_DOUBT_CUP, f->form.cup.value - typed->cup.value,
                 r->sag_u, f);
    share_weight(&f->form.bow, BT_DOUBT_BOW, f->form.bow.value - typed->bow.value,
                 r->sag_u, f);
    share_weight(&f->form.twist, BT_DOUBT_TWIST,
                 f->form.twist.value - typed->twist.value, r->sag_u, f);
    share_weight(&figure->range, BT_DOUBT_RANGE, peak - valley, r->sag_u, f);
    figure->peak.u = hypot(figure->peak.u, r->sag_u * peak);
    figure->valley.u = hypot(figure->valley.u, r->sag_u * valley);
    for (size_t p = 0; flat_sag && p < r->npoint; p++)
        f->u[p] = hypot(f->u[p], r->sag_u * flat_sag[p]);
}

/* The form of the heights as typed, and the own weight's heights over their plane. */
static enum bt_status typed_scan(const struct bt_readings *typed,
                                 const struct bt_rectangle *box, const double sag[],
                                 struct bt_form *form, double flat_sag[],
                                 struct bt_error *err)
{
    struct bt_scan scan = {typed->npoint, typed->point, typed->scan, typed->scan_u};
    struct bt_scan_figures figures;
    enum bt_status status = bt_scan_form(&scan, box, &figures, NULL, NULL, err);

    *form = figures.form;
    scan.z = sag;
    if (status == BT_OK)
        status = bt_scan_form(&scan, box, &figures, flat_sag, NULL, err);
    return status;
}

static enum bt_status correct_scan(const struct bt_readings *typed,
                                   const struct bt_rectangle *box,
                                   struct bt_flatness *f, struct bt_error *err)
{
    const struct bt_readings *r = f->all;
    struct bt_form form = f->form;
    double *flat_sag = NULL;
    size_t group = 0;
    enum bt_status status = BT_OK;

    if (r->sag) {
        f->correction = bt_alloc(1, sizeof *f->correction);
        flat_sag = bt_mem_resize(NULL, r->npoint * sizeof *flat_sag);
        status = f->correction && flat_sag ? BT_OK : BT_ENOMEM;
        if (status == BT_OK)
            f->ncorrection = bt_correction_next(r, &group, f->correction);
        if (status == BT_OK)
            status = typed_scan(typed, box, r->sag, &form, flat_sag, err);
    }
    if (status == BT_OK)
        weight_of_scan(r, &form, f, flat_sag);
    bt_free(flat_sag);
    return status;
}

static enum bt_status evaluate_scan(const struct bt_readings *typed,
                                    const struct bt_flatness_options *options,
                                    struct bt_flatness *f, struct bt_error *err)
{
    const struct bt_readings *r = f->all;
    const struct bt_scan scan = {r->npoint, r->point, r->scan, r->scan_u};
    const struct bt_rectangle box = rectangle_of(r, options->length, options->width);
    struct bt_scan_figures figures;
    enum bt_status status = BT_ENOMEM;

    f->used = r;
    f->net = network_of_scan(r->npoint);
    f->z = bt_mem_resize(NULL, r->npoint * sizeof *f->z);
    f->u = bt_mem_resize(NULL, r->npoint * sizeof *f->u);
    if (f->net && f->z && f->u)
        status = bt_scan_form(&scan, &box, &figures, f->z, f->u, err);
    if (status != BT_OK)
        return status;
    f->plane_known = true;
    f->plane = figures.plane;
    f->residual = figures.residual;
    f->form = figures.form;
    status = correct_scan(typed, &box, f, err);
    if (status != BT_OK)
        return status;
    return bt_far_off_find(r->npoint, f->z, r->scan_u, &f->far_off);
}

static enum bt_status check_sag(size_t n, const struct bt_flatness_options *options,
                                struct bt_error *err)
{
    if (!options->sag)
        return BT_OK;
    if (!(options->sag_u >= 0) || !isfinite(options->sag_u))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the uncertainty of the own weight is not finite and >= 0");
    for (size_t p = 0; p < n; p++)
        if (!isfinite(options->sag[p]))
            return bt_error_set(err, BT_EINPUT, p, 0,
                                "what the own weight does to a place is not finite");
    return BT_OK;
}

enum bt_status bt_flatness_evaluate(const struct bt_readings *readings,
                                    const struct bt_flatness_options *options,
                                    struct bt_flatness *out, struct bt_error *err)
{
    static const struct bt_flatness_options nothing = {.sag = NULL};
    enum bt_status status;

    memset(out, 0, sizeof *out);
    out->agreement = NAN;
    if (!options)
        options = &nothing;
    if (readings->npoint < 3)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "%zu place%s read: a plane needs three that are not on one "
                            "line",
                            readings->npoint, readings->npoint == 1 ? "" : "s");
    if (on_one_line(readings))
        return bt_error_set(
            err, BT_EINPUT, 0, 0,
            "all readings lie on one line, which shows no plane: read a "
            "second line beside it");
    status = check_sag(readings->npoint, options, err);
    if (status != BT_OK)
        return status;
    status = bt_corrections_take_off(readings, options->sag, options->sag_u,
                                     &out->corrected);
    out->all = out->corrected ? out->corrected : readings;
    if (status == BT_OK)
        status = readings->scan ? evaluate_scan(readings, options, out, err)
                                : evaluate(options, out, err);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

void bt_flatness_clear(struct bt_flatness *flatness)
{
    if (!flatness)
        return;
    bt_network_free(flatness->net);
    bt_free(flatness->z);
    bt_free(flatness->u);
    bt_readings_clear(flatness->own);
    bt_free(flatness->own);
    bt_readings_clear(flatness->corrected);
    bt_free(flatness->corrected);
    bt_free(flatness->correction);
    bt_free(flatness->from);
    bt_free(flatness->loose);
    memset(flatness, 0, sizeof *flatness);
}

size_t bt_flatness_reading(const struct bt_flatness *flatness, size_t obs)
{
    return flatness->from ? flatness->from[obs] : obs;
}
