/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/fixture.h"

#include <math.h>
#include <string.h>

static void fill_points(struct fixture *f)
{
    static const double z[FIXTURE_POINTS] = {0.9,  0.2,   -0.05, -0.8, -0.4,
                                             -1.0, -0.05, 0.3,   0.9};

    for (size_t i = 0; i < FIXTURE_POINTS; i++) {
        f->point[i] =
            (struct bt_point){400.0 * (double)(i % 3), 150.0 * (double)(i / 3)};
        f->z[i] = z[i];
        f->u[i] = 0.04;
        f->score[i] = 0.5;
        f->obs[i] = (struct bt_obs){.kind = BT_READ_GAP, .npoint = 1, .u = 0.03};
        f->obs[i].point[0] = i;
        f->source[i] = (struct bt_source){0, 2 + i};
    }
}

static void fill_set(struct fixture *f)
{
    f->set.line = 12;
    memcpy(f->set.date, "2026-03-02", sizeof "2026-03-02");
    f->set.clamps = -1;
    f->set.nfile = 1;
    f->set.readings.npoint = FIXTURE_POINTS;
    f->set.readings.point = f->point;
    f->set.readings.nobs = FIXTURE_POINTS;
    f->set.readings.obs = f->obs;
    f->set.source = f->source;
    f->set.kinds[BT_READ_GAP] = FIXTURE_POINTS;
    f->set.u_origin[BT_U_INTERVAL] = 6;
    f->set.u_origin[BT_U_DIGIT] = 3;
}

static void fill_flatness(struct fixture *f)
{
    struct bt_flatness *flatness = &f->result.flatness;

    f->net.npoint = FIXTURE_POINTS;
    f->net.nobs = FIXTURE_POINTS;
    f->net.unknowns = 25;
    f->net.rank = 7;
    f->net.dof = 2;
    f->net.sigma0 = 1.0625;
    f->net.score = f->score;
    flatness->net = &f->net;
    flatness->used = &f->set.readings;
    flatness->z = f->z;
    flatness->u = f->u;
    flatness->agreement = 0.4;
    flatness->form.bow = (struct bt_measured){0.31, 0.06, true};
    flatness->form.cup = (struct bt_measured){-1.234, 0.05, true};
    flatness->form.twist = (struct bt_measured){0.85, 0.04, true};
    flatness->form.rectangle = (struct bt_rectangle){0, 0, 800, 300};
    flatness->residual.peak = (struct bt_measured){0.9, 0.04, true};
    flatness->residual.valley = (struct bt_measured){-1.0, 0.04, true};
    flatness->residual.range = (struct bt_measured){1.9, 0.06, true};
    flatness->residual.rms = (struct bt_measured){0.62, 0.02, true};
    flatness->residual.highest = 0;
    flatness->residual.lowest = 5;
}

/* Across the left end the edge rests on both corners; the diagonals are longer than
 * it. */
static void fill_extremes(struct fixture *f)
{
    static const struct bt_zone_contact contact[4] = {{0, 1}, {3, -1}, {5, -1}, {8, 1}};
    struct bt_extremes *e = &f->result.extremes;

    e->zone_seen = true;
    e->width = (struct bt_measured){1.86, 0.05, true};
    e->zone.kind = BT_ZONE_2_2;
    e->zone.normal[2] = 1;
    e->zone.ncontact = 4;
    memcpy(e->zone.contact, contact, sizeof contact);
    f->result.nspan = 1;
    f->result.span[0] = 800;
    e->nedge = BT_EDGE_DIRECTIONS;
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++) {
        e->edge[d].at.span = 800;
        e->edge[d].at.direction = (enum bt_edge_direction)d;
        e->edge[d].gap = (struct bt_measured){NAN, NAN, false};
    }
    e->range_sure = (struct bt_sure){1.72, 2.08, 0.13, 2000, {1.72, 2.08}};
    e->width_sure = (struct bt_sure){1.7, 2.02, 0.12, 2000, {1.7, 2.02}};
    e->nspan = 1;
    e->span[0] = 800;
    e->any[0] = f->result.local_sure =
        (struct bt_sure){1.05, 1.382, 0.0871, 2000, {1.05, 1.382}};
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
        e->edge[d].sure = (struct bt_sure){NAN, NAN, NAN, 0, {NAN, NAN}};
    e->edge[BT_EDGE_ALONG].sure = (struct bt_sure){0, 0.285, 0.07, 2000, {0, 0.285}};
    e->edge[BT_EDGE_ACROSS].sure =
        (struct bt_sure){1.06, 1.372, 0.08, 2000, {1.06, 1.372}};
    e->edge[BT_EDGE_ALONG].gap = (struct bt_measured){0.125, 0.05, true};
    e->edge[BT_EDGE_ALONG].at.worst = (struct bt_edge_gap){0.125, 6, 8, 7};
    e->edge[BT_EDGE_ACROSS].gap = (struct bt_measured){1.216, 0.06, true};
    e->edge[BT_EDGE_ACROSS].at.worst = (struct bt_edge_gap){1.216, 0, 6, 3};
    f->result.local = e->edge[BT_EDGE_ACROSS].gap;
    e->facets.preferred = BT_FACETS_NOT_SEEN;
    e->facets.weight_faceted = NAN;
}

void fixture_joints(struct fixture *f, enum bt_facets_preferred preferred)
{
    struct bt_facets *facets = &f->result.extremes.facets;

    f->kink[0] = (struct bt_kink){100, {-0.1, 0.02, true}};
    f->kink[1] = (struct bt_kink){200, {0.31, 0.02, true}};
    facets->njoint = 2;
    facets->kink = f->kink;
    facets->preferred = preferred;
    facets->weight_faceted = 0.97;
    if (preferred == BT_FACETS_NOT_SEEN)
        f->kink[1].degree = (struct bt_measured){NAN, NAN, false};
}

void fixture_init(struct fixture *f)
{
    static char name[] = "after glue-up", title[] = "Cherry shelf", empty[] = "";
    static char file[] = "readings.csv", folder[] = "shelf";

    memset(f, 0, sizeof *f);
    f->job.folder = folder;
    f->job.title = title;
    f->job.panel = (struct bt_panel){800, 300, 20, empty};
    f->job.limits.confidence = 0.95;
    for (int i = 0; i < BT_FIGURE_COUNT; i++)
        f->job.limits.limit[i] = NAN;
    fill_points(f);
    fill_set(f);
    f->set.name = name;
    f->file[0] = file;
    f->set.file = f->file;
    fill_flatness(f);
    fill_extremes(f);
    f->result.job = &f->job;
    f->result.set = &f->set;
}

void fixture_limit(struct fixture *f, enum bt_figure figure, double limit)
{
    const struct bt_measured *m = bt_set_figure(&f->result, figure);

    f->job.limits.limit[figure] = limit;
    if (figure == BT_FIGURE_LOCAL)
        f->job.limits.local_span = f->result.span[0];
    f->result.judgement[f->result.njudgement++] =
        bt_judge(figure, m->value, m->u, m->seen, limit, f->job.limits.confidence);
}

void fixture_hide(struct fixture *f, enum bt_figure figure)
{
    struct bt_measured unseen = {NAN, NAN, false};
    struct bt_sure unsure = {NAN, NAN, NAN, 0, {NAN, NAN}};

    switch (figure) {
    case BT_FIGURE_CUP:
        f->result.flatness.form.cup = unseen;
        break;
    case BT_FIGURE_BOW:
        f->result.flatness.form.bow = unseen;
        break;
    case BT_FIGURE_TWIST:
        f->result.flatness.form.twist = unseen;
        break;
    case BT_FIGURE_ZONE:
        f->result.extremes.width = unseen;
        f->result.extremes.width_sure = unsure;
        f->result.extremes.zone_seen = false;
        break;
    case BT_FIGURE_LOCAL:
        f->result.local = unseen;
        f->result.local_sure = unsure;
        break;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        f->result.flatness.residual.range = unseen;
        f->result.extremes.range_sure = unsure;
        break;
    }
}
