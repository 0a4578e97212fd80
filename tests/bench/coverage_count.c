/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "coverage_count.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/judge/limits.h"
#include "benchtrue/surface/extremes.h"
#include "coverage_truth.h"

const double cover_limit[COVER_FIGURES] = {0.3, 0.4, 0.5, 0.8, 0.7, 0.4, 0.4, 0.3};

static const double confidence = 0.95;
static const double normal_95 = 1.959963984540054;

struct run {
    const struct scheme *scheme;
    struct builder b;
    struct truth truth;
    double *h, *sag;
    struct tally *tally;
};

static bool seen_by_equations(const struct run *run, int figure)
{
    return figure < TRUE_LINEAR ? run->truth.sees[figure] : run->truth.nmoved == 0;
}

/* Sticks show a twist that the heights do not: the sole exception, see form.h. */
static bool expected(const struct run *run, int figure)
{
    return seen_by_equations(run, figure) ||
           (figure == BT_FIGURE_TWIST && run->scheme->direct);
}

static void judge_linear(struct cover *c, int figure, const struct bt_measured *m,
                         double truth)
{
    const double hair = fabs(truth) * (1 - 1e-9);

    if (fabs(truth) > cover_limit[figure]) {
        c->beyond++;
        c->within += bt_judge((enum bt_figure)figure, m->value, m->u, m->seen,
                              cover_limit[figure], confidence)
                         .verdict == BT_WITHIN;
    }
    if (hair > 1e-6) {
        c->just_beyond++;
        c->just_wrong +=
            bt_judge((enum bt_figure)figure, m->value, m->u, m->seen, hair, confidence)
                .verdict == BT_WITHIN;
    }
}

static void count_linear(struct run *run, int figure, const struct bt_measured *m,
                         double truth)
{
    struct cover *c = &run->tally->figure[figure];
    const bool printed = m->seen || !isnan(m->value) || !isnan(m->u);

    if (!expected(run, figure)) {
        run->tally->unseen += printed;
        return;
    }
    if (!printed) {
        run->tally->withheld++;
        return;
    }
    c->printed++;
    c->held += fabs(m->value - truth) <= normal_95 * m->u;
    c->length += 2 * normal_95 * m->u;
    judge_linear(c, figure, m, truth);
}

/* truth NaN where the readings do not show it. */
static void count_largest(struct run *run, int figure, const struct bt_measured *m,
                          const struct bt_sure *sure, double truth)
{
    struct cover *c = &run->tally->figure[figure];
    const double hair = truth * (1 - 1e-9);
    const bool printed = m->seen || !isnan(m->value) || !isnan(sure->lo) ||
                         !isnan(sure->hi) || !isnan(sure->alone);

    if (isnan(truth)) {
        run->tally->unseen += printed;
        return;
    }
    if (!printed) {
        run->tally->withheld++;
        return;
    }
    c->printed++;
    c->held += sure->lo <= truth + 1e-12 && truth <= sure->hi;
    c->length += sure->hi - sure->lo;
    if (truth > cover_limit[figure]) {
        c->beyond++;
        c->within +=
            bt_judge_interval(cover_limit[figure], sure->lo, sure->hi) == BT_WITHIN;
    }
    if (hair > 1e-6) {
        c->just_beyond++;
        c->just_wrong += bt_judge_interval(hair, sure->lo, sure->hi) == BT_WITHIN;
    }
}

/* Heights of places that an unseen shape moves, and kinks that none could tell. */
static void count_unseen(struct run *run, const struct bt_flatness *f,
                         const struct bt_extremes *e)
{
    for (size_t i = 0; i < run->truth.n; i++)
        run->tally->unseen +=
            run->truth.moved[i] && !(isnan(f->z[i]) && isnan(f->u[i]));
    run->tally->unseen +=
        run->truth.nmoved > 0 &&
        (f->residual.peak.seen || f->residual.valley.seen || f->residual.rms.seen);
    for (size_t k = 0; k < e->facets.njoint; k++)
        if (!(run->scheme->sees & SEES_KINKS))
            run->tally->unseen += !isnan(e->facets.kink[k].degree.value) ||
                                  !isnan(e->facets.kink[k].degree.u);
        else
            run->tally->withheld += !e->facets.kink[k].degree.seen;
}

static void count_gaps(struct run *run, const struct bt_extremes *e)
{
    const struct bt_edge_figure *worst = bt_extremes_worst(e, PANEL_SPAN);
    const struct bt_measured none = {NAN, NAN, false};
    double most = NAN;

    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++) {
        const double truth = truth_gap(&run->truth, (enum bt_edge_direction)d, run->h);

        most = fmax(most, truth);
        if (d == BT_EDGE_ALONG || d == BT_EDGE_ACROSS)
            count_largest(run, d == BT_EDGE_ALONG ? COVER_ALONG : COVER_ACROSS,
                          &e->edge[d].gap, &e->edge[d].sure, truth);
        else
            run->tally->unseen += isnan(truth) && e->edge[d].gap.seen;
    }
    count_largest(run, BT_FIGURE_LOCAL, worst ? &worst->gap : &none, &e->any[0], most);
}

static void count_all(struct run *run, const struct bt_flatness *f,
                      const struct bt_extremes *e)
{
    const struct bt_measured *const linear[TRUE_LINEAR] = {&f->form.cup, &f->form.bow,
                                                           &f->form.twist};
    const bool whole = run->truth.nmoved == 0;

    for (int k = 0; k < TRUE_LINEAR; k++)
        count_linear(run, k, linear[k], truth_linear(&run->truth, k, run->h));
    count_largest(run, BT_FIGURE_RANGE, &f->residual.range, &e->range_sure,
                  whole ? truth_range(&run->truth, run->h) : NAN);
    count_largest(run, BT_FIGURE_ZONE, &e->width, &e->width_sure,
                  whole ? truth_zone(&run->truth, run->h) : NAN);
    count_gaps(run, e);
    count_unseen(run, f, e);
}

static void evaluate(struct run *run, uint64_t panel, size_t draws)
{
    const struct bt_flatness_options options = {
        .length = PANEL_LENGTH,
        .width = PANEL_WIDTH,
        .sag = scheme_sag_u(run->scheme) > 0 ? run->sag : NULL,
        .sag_u = scheme_sag_u(run->scheme)};
    const struct bt_extremes_request request = {.nspan = 1,
                                                .span = {PANEL_SPAN},
                                                .seed = panel,
                                                .draws = draws,
                                                .threads = 1,
                                                .njoint = PANEL_JOINTS,
                                                .joint = panel_joint};
    struct bt_flatness f;
    struct bt_extremes e = {0};
    bool good = bt_flatness_evaluate(&run->b.r, &options, &f, NULL) == BT_OK &&
                f.nloose == 0 && bt_extremes_evaluate(&f, &request, &e, NULL) == BT_OK;

    run->tally->panels++;
    if (good)
        count_all(run, &f, &e);
    else
        run->tally->failed++;
    bt_extremes_clear(&e);
    bt_flatness_clear(&f);
}

static void run_make(struct run *run)
{
    scheme_lay(run->scheme, &run->b);
    truth_make(&run->b.r, &run->truth);
    run->h = calloc(2 * run->b.r.npoint, sizeof *run->h);
    if (!run->h)
        abort();
    run->sag = run->h + run->b.r.npoint;
    for (size_t i = 0; i < run->b.r.npoint; i++)
        run->sag[i] = scheme_sag(run->scheme, &run->b.r.point[i]);
}

static void run_clear(struct run *run)
{
    free(run->h);
    truth_clear(&run->truth);
    builder_clear(&run->b);
}

void cover_run(const struct scheme *scheme, const struct cover_request *request,
               struct tally *tally)
{
    struct run run = {.scheme = scheme, .tally = tally};
    const size_t nth = (size_t)(scheme - schemes);
    double *u;

    run_make(&run);
    u = calloc(run.b.r.nobs, sizeof *u);
    if (!u)
        abort();
    for (size_t i = 0; i < run.b.r.nobs; i++)
        u[i] = run.b.r.obs[i].u;
    for (size_t k = request->first; k < request->panels; k += request->step) {
        struct bt_random random;

        bt_random_start(&random, 20 + nth, k);
        for (size_t i = 0; i < run.b.r.nobs; i++)
            run.b.r.obs[i].u = u[i];
        panel_draw(&random, run.b.r.npoint, run.b.r.point, scheme->smooth, run.h);
        scheme_read(scheme, &run.b, run.h, &random);
        for (size_t i = 0; i < run.b.r.nobs; i++)
            run.b.r.obs[i].u *= request->scale;
        evaluate(&run, k, request->draws);
    }
    free(u);
    run_clear(&run);
}

void tally_add(struct tally *to, const struct tally *from)
{
    to->panels += from->panels;
    to->unseen += from->unseen;
    to->withheld += from->withheld;
    to->failed += from->failed;
    for (int k = 0; k < COVER_FIGURES; k++) {
        struct cover *c = &to->figure[k];
        const struct cover *d = &from->figure[k];

        c->printed += d->printed;
        c->held += d->held;
        c->length += d->length;
        c->beyond += d->beyond;
        c->within += d->within;
        c->just_beyond += d->just_beyond;
        c->just_wrong += d->just_wrong;
    }
}

bool scheme_claims_hold(const struct scheme *scheme)
{
    static const unsigned bit[TRUE_LINEAR] = {SEES_CUP, SEES_BOW, SEES_TWIST};
    struct run run = {.scheme = scheme};
    bool good = true;

    run_make(&run);
    for (int k = 0; k < TRUE_LINEAR; k++)
        good = good && expected(&run, k) == ((scheme->sees & bit[k]) != 0);
    good = good && (run.truth.nmoved == 0) == ((scheme->sees & SEES_HEIGHTS) != 0);
    run_clear(&run);
    return good;
}

double cover_tolerance(double p, size_t n)
{
    return 3 * sqrt(p * (1 - p) / (double)n);
}

bool cover_good(const struct scheme *scheme, int figure, const struct cover *cover)
{
    const double share = (double)cover->held / (double)cover->printed;
    const double tolerance = cover_tolerance(confidence, cover->printed);

    if (!(share >= confidence - tolerance))
        return false;
    return figure >= TRUE_LINEAR || scheme->at_least || share <= confidence + tolerance;
}

bool cover_risk_good(const struct cover *cover)
{
    const double risk = 1 - confidence;

    return !((double)cover->within >
             (double)cover->beyond *
                 (risk + cover_tolerance(risk, cover->beyond ? cover->beyond : 1))) &&
           !((double)cover->just_wrong >
             (double)cover->just_beyond *
                 (risk +
                  cover_tolerance(risk, cover->just_beyond ? cover->just_beyond : 1)));
}
