/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/extremes.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(extremes, .init = quiet_gsl);

/* Hollow both ways, with a ripple, so that every figure has one clear contact. */
static double dish(double x, double y)
{
    return 2e-6 * (x - 430) * (x - 430) + 5e-6 * (y - 160) * (y - 160) +
           0.05 * sin(x / 97 + y / 61) + 1e-6 * x * y;
}

/* Boards of 100 mm, flat between y 0, 100, 200, 300; smooth along. */
static double kinked(double x, double y)
{
    return 1e-6 * x * x - 4e-3 * fmax(y - 100, 0) - 6e-3 * fmax(y - 200, 0);
}

static double level_plane(double x, double y)
{
    return 0.25 + x / 1024 - y / 2048;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){200.0 * i, 75.0 * j};
}

/* 5 lines along, 5 across and both diagonals over 5 x 5 places, 800 x 300 mm. */
static void lay(struct builder *b, double u, double (*surface)(double, double))
{
    builder_init(b, u, surface);
    for (int k = 0; k < 5; k++) {
        builder_run(b, at(0, k), at(4, k), 5);
        builder_run(b, at(k, 0), at(k, 4), 5);
    }
    builder_run(b, at(0, 0), at(4, 4), 5);
    builder_run(b, at(4, 0), at(0, 4), 5);
}

struct seen {
    struct bt_flatness flatness;
    struct bt_extremes extremes;
};

static void look(const struct builder *b, const struct bt_extremes_request *request,
                 struct seen *out)
{
    struct bt_error err = {0};

    cr_assert_eq(bt_flatness_evaluate(
                     &b->r, &(struct bt_flatness_options){.length = 800, .width = 300},
                     &out->flatness, &err),
                 BT_OK, "%s", err.message);
    cr_assert_eq(bt_extremes_evaluate(&out->flatness, request, &out->extremes, &err),
                 BT_OK, "%s", err.message);
}

static void forget(struct seen *seen)
{
    bt_extremes_clear(&seen->extremes);
    bt_flatness_clear(&seen->flatness);
}

static const struct bt_extremes_request two_spans = {.nspan = 2, .span = {400, 160}};

enum { FIGURES = 1 + 2 * BT_EDGE_DIRECTIONS };

/* The width of the zone, then each gap; NaN where not seen. */
static void values(const struct seen *seen, double value[FIGURES], double u[FIGURES])
{
    value[0] = seen->extremes.width.value;
    u[0] = seen->extremes.width.u;
    for (int k = 1; k < FIGURES; k++) {
        value[k] = seen->extremes.edge[k - 1].gap.value;
        u[k] = seen->extremes.edge[k - 1].gap.u;
    }
}

/*
 * Every reading moved by itself, a hundredth of its u to both sides, and everything
 * evaluated anew: the sum of squares of what that does to a figure is its variance, as
 * long as the contacts stay, which such small steps leave alone.
 */
Test(extremes, u_is_what_moving_each_reading_by_its_u_makes)
{
    const double part = 0.01;
    double want[FIGURES] = {0}, value[FIGURES], u[FIGURES];
    struct builder b;
    struct seen seen;

    lay(&b, 0.02, dish);
    for (size_t i = 0; i < b.r.nobs; i++)
        b.r.obs[i].u = i % 3 ? 0.02 : 0.035;
    for (size_t i = 0; i < b.r.nobs; i++) {
        double up[FIGURES], down[FIGURES], step = part * b.r.obs[i].u;

        b.r.obs[i].value += step;
        look(&b, &two_spans, &seen);
        values(&seen, up, u);
        forget(&seen);
        b.r.obs[i].value -= 2 * step;
        look(&b, &two_spans, &seen);
        values(&seen, down, u);
        forget(&seen);
        b.r.obs[i].value += step;
        for (int k = 0; k < FIGURES; k++)
            want[k] += pow((up[k] - down[k]) / (2 * part), 2);
    }
    look(&b, &two_spans, &seen);
    values(&seen, value, u);
    for (int k = 0; k < FIGURES; k++) {
        if (isnan(value[k])) /* diagonals: steps of 214 mm */
            continue;
        /* 1e-6: the zone's normal turns with the heights, in second order */
        cr_expect(value[k] > 0.001, "figure %d: %g", k, value[k]);
        cr_expect(fabs(u[k] - sqrt(want[k])) <= 1e-6 * u[k],
                  "figure %d: u %.9g, not %.9g", k, u[k], sqrt(want[k]));
    }
    cr_expect(!isnan(value[1]) && !isnan(value[2]) && isnan(value[3]) &&
              !isnan(value[6]));
    forget(&seen);
    builder_clear(&b);
}

Test(extremes, zone_lies_between_peak_to_valley_of_no_plane_and_of_the_mean_plane)
{
    struct builder b;
    struct seen seen;

    lay(&b, 0.02, dish);
    look(&b, &two_spans, &seen);
    cr_assert(seen.extremes.zone_seen);
    cr_expect(seen.extremes.width.value <= seen.flatness.residual.range.value);
    cr_expect(seen.extremes.width.value > 0.5 * seen.flatness.residual.range.value);
    cr_expect_eq(seen.extremes.zone.ncontact, 4);
    forget(&seen);
    builder_clear(&b);
}

Test(extremes, largest_gap_is_that_of_the_surface_read)
{
    struct builder b;
    struct seen seen;
    double want = 0;

    lay(&b, 0.02, dish);
    look(&b, &two_spans, &seen);
    /* along, 400 mm reach three places: two steps of 200 mm */
    for (int j = 0; j < 5; j++)
        for (int i = 0; i + 2 < 5; i++) {
            const double y = 75.0 * j, x = 200.0 * i;
            want = fmax(want, (dish(x, y) + dish(x + 400, y)) / 2 - dish(x + 200, y));
        }
    cr_expect(fabs(seen.extremes.edge[BT_EDGE_ALONG].gap.value - want) <= 1e-9);
    cr_expect_eq(seen.extremes.edge[BT_EDGE_ALONG].at.lines, (size_t)5);
    cr_expect_eq(bt_extremes_worst(&seen.extremes, 400)->at.span, 400);
    cr_expect_eq(bt_extremes_worst(&seen.extremes, 400)->at.direction, BT_EDGE_ACROSS,
                 "the deeper one, though not the first");
    cr_expect(!seen.extremes.edge[BT_EDGE_DIRECTIONS + BT_EDGE_ALONG].gap.seen,
              "160 mm reach one place");
    cr_expect(bt_extremes_worst(&seen.extremes, 160)->at.direction == BT_EDGE_ACROSS);
    cr_expect_null(bt_extremes_worst(&seen.extremes, 300));
    forget(&seen);
    builder_clear(&b);
}

/* The edge's own hollow is one error of all lines: it does not average out. */
Test(extremes, u_of_a_gap_holds_the_straightness_of_the_edge)
{
    double value[FIGURES], bare[FIGURES], with[FIGURES];
    struct builder b;
    struct seen seen;

    lay(&b, 0.02, dish);
    look(&b, &two_spans, &seen);
    values(&seen, value, bare);
    forget(&seen);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].straightness = 0.3;
        b.r.group[g].instrument = 0;
    }
    look(&b, &two_spans, &seen);
    values(&seen, value, with);
    for (int k = 0; k < FIGURES; k++)
        cr_expect(isnan(value[k]) || with[k] > 1.2 * bare[k], "figure %d: %g, %g", k,
                  with[k], bare[k]);
    forget(&seen);
    builder_clear(&b);
}

/* Without diagonals twist is not seen, and no height off the middle lines. */
Test(extremes, sees_no_zone_where_a_height_is_not_seen)
{
    struct builder b;
    struct seen seen;

    builder_init(&b, 0.02, dish);
    for (int k = 0; k < 5; k++) {
        builder_run(&b, at(0, k), at(4, k), 5);
        builder_run(&b, at(k, 0), at(k, 4), 5);
    }
    look(&b, &two_spans, &seen);
    cr_assert(seen.flatness.nunseen > 0);
    cr_expect(!seen.extremes.zone_seen && !seen.extremes.width.seen);
    cr_expect(isnan(seen.extremes.width.value) && isnan(seen.extremes.width.u));
    for (size_t k = 0; k < seen.extremes.nedge; k++) {
        const struct bt_edge_figure *e = &seen.extremes.edge[k];
        cr_expect(e->gap.seen == !isnan(e->gap.value) &&
                      e->gap.seen == !isnan(e->gap.u),
                  "%zu", k);
        if (e->gap.seen && e->gap.value > 0) {
            cr_expect_not(isnan(seen.flatness.z[e->at.worst.left]));
            cr_expect_not(isnan(seen.flatness.z[e->at.worst.right]));
            cr_expect_not(isnan(seen.flatness.z[e->at.worst.deepest]));
        }
    }
    forget(&seen);
    builder_clear(&b);
}

Test(extremes, u_of_a_flat_zone_is_that_of_the_range)
{
    struct builder b;
    struct seen seen;

    builder_init(&b, 0.02, level_plane);
    builder_heights(&b, 0, 3, (const struct bt_point[]){{0, 0}, {800, 0}, {0, 300}});
    look(&b, &two_spans, &seen);
    cr_expect(seen.extremes.zone_seen);
    cr_expect_eq(seen.extremes.zone.kind, BT_ZONE_FLAT);
    cr_expect_eq(seen.extremes.zone.ncontact, 0);
    cr_expect(fabs(seen.extremes.width.value) <= 1e-12);
    cr_expect(seen.extremes.width.u == seen.flatness.residual.range.u);
    forget(&seen);
    builder_clear(&b);
}

enum { NX = 31, NY = 16, SCAN = NX * NY };

/* The same points once as a scan and once as readings of known zero: the same figures,
 * and u of few independent heights is the root of their squares. */
Test(extremes, of_a_scan_are_those_of_heights_each_read_once)
{
    static struct bt_point p[SCAN];
    static double z[SCAN];
    struct bt_readings scan = {.npoint = SCAN, .point = p, .scan = z, .scan_u = 0.01};
    const struct bt_extremes_request request = {.nspan = 1, .span = {150}};
    const double joint[] = {100};
    struct bt_extremes_request with_joint = request;
    struct bt_error err;
    struct builder b;
    struct seen a, s;

    for (size_t i = 0; i < SCAN; i++) {
        p[i] = (struct bt_point){25.0 * (double)(i % NX), 20.0 * (double)(i / NX)};
        z[i] = dish(p[i].x, p[i].y);
    }
    builder_init(&b, 0.01, dish);
    builder_heights(&b, 0, SCAN, p);
    look(&b, &request, &a);
    cr_assert_eq(
        bt_flatness_evaluate(&scan,
                             &(struct bt_flatness_options){
                                 .length = 800, .width = 300, .one_reference = true},
                             &s.flatness, &err),
        BT_OK);
    with_joint.njoint = 1;
    with_joint.joint = joint;
    cr_assert_eq(bt_extremes_evaluate(&s.flatness, &with_joint, &s.extremes, &err),
                 BT_OK);
    cr_expect(fabs(a.extremes.width.value - s.extremes.width.value) <= 1e-9);
    cr_expect(fabs(a.extremes.width.u - s.extremes.width.u) <= 1e-9);
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++) {
        const struct bt_measured *x = &a.extremes.edge[d].gap,
                                 *y = &s.extremes.edge[d].gap;
        if (d <= BT_EDGE_ACROSS) {
            cr_expect(x->seen && y->seen && x->value > 0.01, "%d", d);
            cr_expect(fabs(x->value - y->value) <= 1e-9, "%d", d);
            cr_expect(fabs(x->u - y->u) <= 1e-9, "%d", d);
        }
    }
    /* half the mean distance of 496 points on 800 x 300 mm */
    cr_expect(fabs(s.extremes.band - sqrt(800.0 * 300 / SCAN) / 2) <= 1e-9);
    cr_expect_eq(a.extremes.band, 6);
    cr_expect_eq(s.extremes.facets.preferred, BT_FACETS_NOT_SEEN);
    cr_expect_eq(s.extremes.facets.njoint, (size_t)0);
    forget(&a);
    forget(&s);
    builder_clear(&b);
}

Test(extremes, finds_the_kinks_of_flat_boards_at_their_joints)
{
    const double joint[] = {100, 200};
    const struct bt_extremes_request request = {.njoint = 2, .joint = joint};
    const double degree = 57.29577951308232;
    struct builder b;
    struct seen seen;

    builder_init(&b, 0.01, kinked);
    for (int i = 0; i < 5; i++) {
        const double x = 200.0 * i;
        builder_run(&b, (struct bt_point){x, 0}, (struct bt_point){x, 300}, 13);
    }
    for (int j = 0; j < 3; j++)
        builder_run(&b, (struct bt_point){0, 150.0 * j},
                    (struct bt_point){800, 150.0 * j}, 5);
    builder_run(&b, (struct bt_point){0, 0}, (struct bt_point){800, 300}, 5);
    look(&b, &request, &seen);
    cr_expect_eq(seen.extremes.nedge, (size_t)0);
    cr_expect_eq(seen.extremes.facets.preferred, BT_FACETS_FACETED);
    cr_assert_eq(seen.extremes.facets.njoint, (size_t)2);
    /* slopes 0, -0.004, -0.010: the arcs, to a small part of a millidegree */
    cr_expect(fabs(seen.extremes.facets.kink[0].degree.value + 0.004 * degree) <= 1e-4);
    cr_expect(fabs(seen.extremes.facets.kink[1].degree.value + 0.006 * degree) <= 1e-4);
    forget(&seen);
    builder_clear(&b);
}

/* ---- how sure ---- */

static void expect_sure(const struct bt_measured *m, const struct bt_sure *sure,
                        size_t draws, const char *name)
{
    if (!m->seen) {
        cr_expect(isnan(sure->lo) && isnan(sure->hi) && isnan(sure->alone), "%s", name);
        cr_expect_eq(sure->draws, (size_t)0, "%s", name);
        return;
    }
    cr_expect_eq(sure->draws, draws, "%s", name);
    cr_expect(sure->lo >= 0 && sure->lo <= m->value && m->value < sure->hi,
              "%s: %g %g %g", name, sure->lo, m->value, sure->hi);
    cr_expect(fabs(fmax(0, 2 * m->value - sure->hi) - sure->lo) <= 1e-12, "%s", name);
    if (draws) /* of a gap that few points show half may be nothing */
        cr_expect(sure->alone >= 0 && m->value + sure->alone <= sure->hi, "%s", name);
    else
        cr_expect(isnan(sure->alone), "%s", name);
}

static void expect_all_sure(const struct seen *seen, size_t draws)
{
    const struct bt_extremes *e = &seen->extremes;

    expect_sure(&seen->flatness.residual.range, &e->range_sure, draws, "range");
    expect_sure(&e->width, &e->width_sure, draws, "width");
    for (size_t k = 0; k < e->nedge; k++)
        expect_sure(&e->edge[k].gap, &e->edge[k].sure, draws, "edge");
    for (size_t s = 0; s < e->nspan; s++) {
        const struct bt_edge_figure *worst = bt_extremes_worst(e, e->span[s]);
        expect_sure(&worst->gap, bt_extremes_sure(e, e->span[s]), draws, "any");
        cr_expect(e->any[s].hi >= worst->sure.hi, "span %zu", s);
    }
    cr_expect_null(bt_extremes_sure(e, 399));
}

Test(extremes, have_an_interval_that_draws_of_the_noise_give)
{
    struct bt_extremes_request request = two_spans;
    struct builder b;
    struct seen plain, same, other;

    lay(&b, 0.02, dish);
    request.ndirection = 1;
    request.direction[0] = atan2(75, 200);
    request.draws = 500;
    request.seed = 4;
    look(&b, &request, &plain);
    expect_all_sure(&plain, 500);
    request.threads = 5;
    look(&b, &request, &same);
    cr_expect_eq(
        memcmp(plain.extremes.any, same.extremes.any, 2 * sizeof plain.extremes.any[0]),
        0);
    request.seed = 5;
    look(&b, &request, &other);
    cr_expect(fabs(plain.extremes.width_sure.hi - other.extremes.width_sure.hi) > 1e-9);
    /* another seed: the same to some percent of the half width */
    cr_expect(fabs((plain.extremes.width_sure.hi - plain.extremes.width.value) /
                       (other.extremes.width_sure.hi - other.extremes.width.value) -
                   1) <= 0.1);
    forget(&plain);
    forget(&same);
    forget(&other);
    builder_clear(&b);
}

/* Twice the same length: each is drawn, nothing is written beyond the room. */
Test(extremes, of_one_length_asked_twice_are_the_same)
{
    const struct bt_extremes_request request = {.nspan = 4,
                                                .span = {400, 400, 400, 400},
                                                .ndirection = 2,
                                                .direction = {0.3, 1}};
    struct builder b;
    struct seen seen;

    lay(&b, 0.02, dish);
    look(&b, &request, &seen);
    expect_all_sure(&seen, BT_DRAWS_DEFAULT);
    for (int s = 1; s < 4; s++)
        cr_expect_eq(memcmp(&seen.extremes.any[0], &seen.extremes.any[s],
                            sizeof seen.extremes.any[0]),
                     0);
    forget(&seen);
    builder_clear(&b);
}

/* The stated straightness of an edge is an error that all its lines share: it is in the
 * draws as it is in u. */
Test(extremes, have_a_wider_interval_where_the_straightedge_may_be_hollow)
{
    struct builder b;
    struct seen plain, hollow;

    lay(&b, 0.02, dish);
    look(&b, &two_spans, &plain);
    for (size_t g = 0; g < b.r.ngroup; g++) {
        b.r.group[g].straightness = 0.2;
        b.r.group[g].instrument = 0;
    }
    look(&b, &two_spans, &hollow);
    cr_expect(hollow.extremes.width_sure.hi > plain.extremes.width_sure.hi + 0.05);
    cr_expect(hollow.extremes.any[0].hi > plain.extremes.any[0].hi + 0.02);
    forget(&plain);
    forget(&hollow);
    builder_clear(&b);
}

/* 21 x 20 places are more than are drawn for, 5 x 5 of a scan come without draws too.
 */
Test(extremes, of_many_places_and_of_scans_have_a_bound_for_an_interval)
{
    static struct bt_point p[21 * 20];
    static double z[21 * 20];
    struct bt_readings scan = {.npoint = 420, .point = p, .scan = z, .scan_u = 0.01};
    struct bt_error err;
    struct builder b;
    struct seen seen;

    for (int i = 0; i < 420; i++) {
        p[i] = (struct bt_point){40.0 * (i % 21), 15.0 * (i / 21)};
        z[i] = dish(p[i].x, p[i].y);
    }
    builder_init(&b, 0.01, dish);
    builder_heights(&b, 3, 420, p);
    look(&b, &two_spans, &seen);
    expect_all_sure(&seen, 0);
    /* of 420 independent heights: 2 x 3.84 u; over their plane a little less */
    cr_expect(fabs(seen.extremes.range_sure.hi - seen.flatness.residual.range.value -
                   2 * 3.84 * 0.01) <= 0.001);
    forget(&seen);
    builder_clear(&b);
    cr_assert_eq(
        bt_flatness_evaluate(&scan,
                             &(struct bt_flatness_options){
                                 .length = 800, .width = 300, .one_reference = true},
                             &seen.flatness, &err),
        BT_OK);
    cr_assert_eq(bt_extremes_evaluate(&seen.flatness, &two_spans, &seen.extremes, &err),
                 BT_OK);
    expect_all_sure(&seen, 0);
    cr_expect(fabs(seen.extremes.width_sure.hi - seen.extremes.width.value -
                   2 * 3.84 * 0.01) <= 0.0005);
    forget(&seen);
}

Test(extremes, refuse_draws_and_threads_out_of_range)
{
    struct bt_extremes_request request = two_spans;
    struct bt_flatness f;
    struct bt_extremes e;
    struct bt_error err;
    struct builder b;

    lay(&b, 0.02, dish);
    cr_assert_eq(
        bt_flatness_evaluate(
            &b.r, &(struct bt_flatness_options){.length = 800, .width = 300}, &f, &err),
        BT_OK);
    request.draws = 5;
    cr_expect_eq(bt_extremes_evaluate(&f, &request, &e, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "5 draws, not 100 to 1000000");
    bt_extremes_clear(&e);
    request.draws = 0;
    request.threads = 99;
    cr_expect_eq(bt_extremes_evaluate(&f, &request, &e, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "99 threads, not up to 16");
    bt_extremes_clear(&e);
    bt_flatness_clear(&f);
    builder_clear(&b);
}

Test(extremes, refuse_a_span_or_joint_that_is_none_and_say_so)
{
    const double joint[] = {200, 100};
    const struct bt_extremes_request spans = {.nspan = 1, .span = {0}};
    const struct bt_extremes_request joints = {.njoint = 2, .joint = joint};
    const struct bt_extremes_request angles = {
        .nspan = 1, .span = {400}, .ndirection = 1, .direction = {NAN}};
    const struct bt_extremes_request none = {0};
    struct bt_error err = {0};
    struct builder b;
    struct seen seen;

    lay(&b, 0.02, dish);
    look(&b, &none, &seen);
    bt_extremes_clear(&seen.extremes);
    cr_expect_eq(bt_extremes_evaluate(&seen.flatness, &spans, &seen.extremes, &err),
                 BT_EINPUT);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect(strlen(err.message) > 0);
    bt_extremes_clear(&seen.extremes);
    cr_expect_eq(bt_extremes_evaluate(&seen.flatness, &angles, &seen.extremes, &err),
                 BT_EINPUT);
    cr_expect_str_eq(err.message, "the angle of the edge is not finite");
    bt_extremes_clear(&seen.extremes);
    cr_expect_eq(bt_extremes_evaluate(&seen.flatness, &joints, &seen.extremes, &err),
                 BT_EINPUT);
    cr_expect_eq(err.row, (size_t)1, "%zu: %s", err.row, err.message);
    forget(&seen);
    builder_clear(&b);
    bt_extremes_clear(NULL);
}

Test(extremes, say_so_when_any_allocation_fails_and_keep_none)
{
    const double joint[] = {100, 200};
    struct bt_extremes_request request = two_spans;
    struct bt_flatness f;
    struct bt_extremes e;
    struct bt_error err;
    struct builder b;
    size_t before, count;

    request.njoint = 2;
    request.joint = joint;
    memory_fail_at(0);
    lay(&b, 0.02, dish);
    cr_assert_eq(
        bt_flatness_evaluate(
            &b.r, &(struct bt_flatness_options){.length = 800, .width = 300}, &f, &err),
        BT_OK);
    before = memory_live();
    memory_fail_at(0);
    cr_assert_eq(bt_extremes_evaluate(&f, &request, &e, &err), BT_OK);
    count = memory_calls();
    cr_assert(count > 20, "%zu calls", count);
    bt_extremes_clear(&e);
    cr_assert_eq(memory_live(), before);
    for (size_t k = 1; k <= count; k++) {
        memory_fail_at(k);
        memset(&err, 0, sizeof err);
        cr_expect_eq(bt_extremes_evaluate(&f, &request, &e, &err), BT_ENOMEM,
                     "call %zu: %s", k, err.message);
        cr_expect_str_eq(err.message, "out of memory", "call %zu", k);
        bt_extremes_clear(&e);
        cr_expect_eq(memory_live(), before, "call %zu", k);
    }
    memory_fail_at(0);
    bt_flatness_clear(&f);
    builder_clear(&b);
    cr_expect_eq(memory_live(), (size_t)0);
}
