/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>

#include "report/fixture.h"
#include "support/builder.h"

Test(result, over_outranks_not_seen_and_not_seen_outranks_too_close)
{
    struct fixture f;

    fixture_init(&f);
    cr_expect_eq(bt_set_verdict(&f.result), BT_WITHIN);
    fixture_limit(&f, BT_FIGURE_BOW, 1.5);
    cr_expect_eq(bt_set_verdict(&f.result), BT_WITHIN);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.85);
    cr_expect_eq(bt_set_verdict(&f.result), BT_TOO_CLOSE);
    fixture_hide(&f, BT_FIGURE_RANGE);
    fixture_limit(&f, BT_FIGURE_RANGE, 2);
    cr_expect_eq(bt_set_verdict(&f.result), BT_NOT_SEEN);
    fixture_limit(&f, BT_FIGURE_CUP, 1);
    cr_expect_eq(bt_set_verdict(&f.result), BT_OVER);
}

Test(result, each_limit_applies_to_the_figure_of_its_name)
{
    struct fixture f;

    fixture_init(&f);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_CUP)->value, -1.234);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_BOW)->value, 0.31);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_TWIST)->value, 0.85);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_RANGE)->value, 1.9);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_ZONE)->value, 1.86);
    cr_expect_eq(bt_set_figure(&f.result, BT_FIGURE_LOCAL)->value, 1.216);
}

Test(result, clearing_nothing_is_allowed)
{
    bt_set_result_clear(NULL);
}

/* ---- bt_set_evaluate, on a job put together by hand ---- */

/* Joints at y 80 and 220 of 300; kinks of different size, the first larger. */
static double boards(double x, double y)
{
    return 1e-6 * (x - 400) * (x - 400) + 8e-3 * fmax(y - 80, 0) +
           3e-3 * fmax(y - 220, 0);
}

struct case_of {
    struct bt_job job;
    struct bt_set set;
    struct builder builder;
    double joint[3];
};

static void case_make(struct case_of *c, double (*surface)(double, double), int along,
                      int across)
{
    static char empty[] = "";

    builder_init(&c->builder, 0.02, surface);
    for (int i = 0; i < 5; i++)
        builder_run(&c->builder, (struct bt_point){200.0 * i, 0},
                    (struct bt_point){200.0 * i, 300}, (size_t)across);
    for (int j = 0; j < 3; j++)
        builder_run(&c->builder, (struct bt_point){0, 150.0 * j},
                    (struct bt_point){800, 150.0 * j}, (size_t)along);
    builder_run(&c->builder, (struct bt_point){0, 0}, (struct bt_point){800, 300}, 5);
    c->job = (struct bt_job){.folder = empty, .title = empty};
    c->job.limits = bt_limits_none();
    c->job.panel = (struct bt_panel){800, 300, NAN, empty};
    c->joint[0] = 80;
    c->joint[1] = 220;
    c->job.joint = c->joint;
    c->job.njoint = 2;
    c->set = (struct bt_set){.name = empty, .readings = c->builder.r};
}

static void evaluate(struct case_of *c, size_t n, const double span[],
                     struct bt_set_result *r)
{
    const struct bt_set_request request = {.nspan = n, .span = span};
    struct bt_error err = {0};

    cr_assert_eq(bt_set_evaluate(&c->job, &c->set, &request, r, &err), BT_OK, "%s",
                 err.message);
}

Test(result, lays_on_the_span_of_the_limit_first_and_each_length_once)
{
    const double span[] = {250, 400 * (1 + 1e-12), 250};
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    c.job.limits.limit[BT_FIGURE_LOCAL] = 1;
    c.job.limits.local_span = 400;
    evaluate(&c, 3, span, &r);
    cr_expect(r.span_asked);
    cr_expect_eq(r.nspan, (size_t)2);
    cr_expect_eq(r.span[0], 400);
    cr_expect_eq(r.span[1], 250);
    cr_expect_eq(r.extremes.nedge, (size_t)(2 * BT_EDGE_DIRECTIONS));
    cr_expect_eq(r.local.value, bt_extremes_worst(&r.extremes, 400)->gap.value);
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

Test(result, lays_on_300_mm_or_12_in_where_nothing_is_asked)
{
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    evaluate(&c, 0, NULL, &r);
    cr_expect(!r.span_asked && r.nspan == 1 && r.span[0] == 300);
    bt_set_result_clear(&r);
    c.job.system = BT_SYSTEM_IN;
    evaluate(&c, 0, NULL, &r);
    cr_expect(r.span[0] == 304.8);
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

/* Limits just beyond the ends of the intervals, at them, and between. */
Test(result, judges_range_zone_and_local_by_their_intervals)
{
    static const enum bt_figure figures[] = {BT_FIGURE_RANGE, BT_FIGURE_ZONE,
                                             BT_FIGURE_LOCAL};
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    c.job.limits.local_span = 400;
    for (size_t k = 0; k < 3; k++)
        c.job.limits.limit[figures[k]] = 1;
    evaluate(&c, 0, NULL, &r);
    for (size_t k = 0; k < 3; k++) {
        const struct bt_sure sure = *bt_set_sure(&r, figures[k]);
        const double limit[] = {sure.hi, sure.hi * (1 - 1e-9), sure.lo,
                                sure.lo * (1 - 1e-9)};
        static const enum bt_verdict want[] = {BT_WITHIN, BT_TOO_CLOSE, BT_TOO_CLOSE,
                                               BT_OVER};

        cr_assert(sure.lo > 0 && sure.lo < sure.hi, "figure %zu", k);
        for (int i = 0; i < 4; i++) {
            struct bt_set_result judged;
            const struct bt_judgement *j;

            c.job.limits.limit[figures[k]] = limit[i];
            evaluate(&c, 0, NULL, &judged);
            j = bt_set_judgement(&judged, figures[k]);
            cr_expect_eq(j->verdict, want[i], "figure %zu, limit %d", k, i);
            cr_expect(isnan(j->p_within), "figure %zu, limit %d", k, i);
            cr_expect(j->u > 0, "figure %zu, limit %d", k, i);
            bt_set_result_clear(&judged);
        }
        c.job.limits.limit[figures[k]] = 1;
    }
    cr_expect_null(bt_set_sure(&r, BT_FIGURE_CUP));
    cr_expect_null(bt_set_sure(&r, BT_FIGURE_TWIST));
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

/* Limits between the upper ends, and between the lower ends, of the intervals at 80, 95
 * and 99 %: the wider the interval the less is told for sure. */
Test(result, judges_the_largest_figures_at_the_confidence_of_the_job)
{
    static const enum bt_figure figures[] = {BT_FIGURE_RANGE, BT_FIGURE_ZONE,
                                             BT_FIGURE_LOCAL};
    static const double confidence[] = {0.8, 0.95, 0.99};
    static const enum bt_verdict high[2][3] = {{BT_WITHIN, BT_TOO_CLOSE, BT_TOO_CLOSE},
                                               {BT_WITHIN, BT_WITHIN, BT_TOO_CLOSE}};
    static const enum bt_verdict low[2][3] = {{BT_OVER, BT_TOO_CLOSE, BT_TOO_CLOSE},
                                              {BT_OVER, BT_OVER, BT_TOO_CLOSE}};
    struct bt_sure sure[3][3];
    struct case_of c;

    case_make(&c, boards, 9, 13);
    c.job.limits.local_span = 400;
    for (size_t k = 0; k < 3; k++)
        c.job.limits.limit[figures[k]] = 1;
    for (size_t l = 0; l < 3; l++) {
        struct bt_set_result r;

        c.job.limits.confidence = confidence[l];
        evaluate(&c, 0, NULL, &r);
        for (size_t k = 0; k < 3; k++)
            sure[l][k] = *bt_set_sure(&r, figures[k]);
        bt_set_result_clear(&r);
    }
    for (size_t k = 0; k < 3; k++) {
        cr_expect_eq(sure[0][k].hi, sure[2][k].hi, "the 95 %% interval stays");
        cr_expect_eq(sure[1][k].asked.hi, sure[1][k].hi);
        cr_assert(sure[0][k].asked.lo > sure[1][k].lo && sure[2][k].asked.lo > 0);
        for (size_t l = 0; l < 3; l++)
            for (size_t gap = 0; gap < 2; gap++) {
                struct bt_set_result r;

                c.job.limits.confidence = confidence[l];
                c.job.limits.limit[figures[k]] =
                    (sure[gap][k].asked.hi + sure[gap + 1][k].asked.hi) / 2;
                evaluate(&c, 0, NULL, &r);
                cr_expect_eq(bt_set_judgement(&r, figures[k])->verdict, high[gap][l],
                             "figure %zu at %g, above", k, confidence[l]);
                bt_set_result_clear(&r);
                c.job.limits.limit[figures[k]] =
                    (sure[gap][k].asked.lo + sure[gap + 1][k].asked.lo) / 2;
                evaluate(&c, 0, NULL, &r);
                cr_expect_eq(bt_set_judgement(&r, figures[k])->verdict, low[gap][l],
                             "figure %zu at %g, below", k, confidence[l]);
                bt_set_result_clear(&r);
            }
        c.job.limits.limit[figures[k]] = 1;
    }
    builder_clear(&c.builder);
}

/* 300 draws have no 99.9 % point: the bound takes its place, and is wider. */
Test(result, judges_by_a_bound_where_the_draws_are_too_few_for_the_confidence)
{
    const struct bt_set_request few = {.draws = 300}, many = {.draws = 10000};
    struct bt_set_result one, other;
    struct bt_error err = {0};
    struct case_of c;

    case_make(&c, boards, 9, 13);
    c.job.limits.confidence = 0.999;
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &few, &one, &err), BT_OK);
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &many, &other, &err), BT_OK);
    cr_expect(one.extremes.width_sure.asked.hi > other.extremes.width_sure.asked.hi);
    cr_expect(other.extremes.width_sure.asked.hi > other.extremes.width_sure.hi);
    cr_expect(!bt_set_draws_enough(&one, &one.extremes.width_sure));
    cr_expect(bt_set_draws_enough(&other, &other.extremes.width_sure));
    one.extremes.width_sure.draws = 0;
    cr_expect(bt_set_draws_enough(&one, &one.extremes.width_sure), "nothing drawn");
    bt_set_result_clear(&one);
    bt_set_result_clear(&other);
    builder_clear(&c.builder);
}

Test(result, draws_as_often_and_from_the_seed_that_is_asked_for)
{
    struct bt_set_request request = {.seed = 9, .draws = 300};
    struct bt_set_result one, other;
    struct bt_error err = {0};
    struct case_of c;

    case_make(&c, boards, 9, 13);
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &request, &one, &err), BT_OK);
    cr_expect_eq(one.extremes.width_sure.draws, (size_t)300);
    request.seed = 10;
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &request, &other, &err), BT_OK);
    cr_expect(fabs(one.extremes.width_sure.hi - other.extremes.width_sure.hi) > 1e-9);
    bt_set_result_clear(&one);
    bt_set_result_clear(&other);
    request.draws = 7;
    cr_expect_eq(bt_set_evaluate(&c.job, &c.set, &request, &one, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "7 draws, not 100 to 1000000");
    bt_set_result_clear(&one);
    builder_clear(&c.builder);
}

Test(result, refuses_more_lengths_than_there_is_room_for)
{
    const double span[BT_SPANS_MAX + 1] = {100, 200, 300, 400, 500};
    const struct bt_set_request request = {.nspan = BT_SPANS_MAX + 1, .span = span};
    struct bt_error err = {0};
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    cr_expect_eq(bt_set_evaluate(&c.job, &c.set, &request, &r, &err), BT_ECALL);
    cr_expect_str_eq(err.message, "at most 4 lengths of a straightedge can be laid on");
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

/* Straight along and across, hollow from corner A to C: over two steps of 200 and 75 mm
 * on the diagonal by 0.3 mm, of 200 and 150 mm at 36.87 degrees by 0.6 mm. */
static double twisted(double x, double y)
{
    return 2e-5 * (x - 400) * (y - 150);
}

Test(result, lays_on_a_stated_direction_for_the_local_limit_and_each_once)
{
    const double steep = atan2(150, 200), direction[] = {steep, steep + 1e-12, -0.5};
    const double span[] = {500, 600};
    const struct bt_set_request without = {.nspan = 2, .span = span};
    struct bt_set_request request = without;
    struct bt_error err = {0};
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, twisted, 5, 3);
    c.job.limits.limit[BT_FIGURE_LOCAL] = 0.4;
    c.job.limits.local_span = 500;
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &without, &r, &err), BT_OK, "%s",
                 err.message);
    cr_expect(fabs(r.local.value - 0.3) <= 1e-9, "%g", r.local.value);
    bt_set_result_clear(&r);
    request.ndirection = 3;
    request.direction = direction;
    cr_assert_eq(bt_set_evaluate(&c.job, &c.set, &request, &r, &err), BT_OK, "%s",
                 err.message);
    cr_expect_eq(r.ndirection, (size_t)2);
    cr_assert_eq(r.extremes.nedge, (size_t)(2 * BT_EDGE_DIRECTIONS + 4));
    for (size_t k = 0; k < 4; k++) {
        const struct bt_edge_result *at =
            &r.extremes.edge[2 * BT_EDGE_DIRECTIONS + k].at;

        cr_expect_eq(at->direction, BT_EDGE_OBLIQUE);
        cr_expect_eq(at->span, span[k / 2]);
        cr_expect_eq(at->angle, direction[k % 2 ? 2 : 0]);
    }
    cr_expect(fabs(r.local.value - 0.6) <= 1e-9, "%g", r.local.value);
    cr_expect(r.local.u > 0);
    cr_expect_eq(bt_set_judgement(&r, BT_FIGURE_LOCAL)->verdict, BT_OVER);
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

Test(result, refuses_more_angles_than_there_is_room_for)
{
    const double direction[BT_OBLIQUES_MAX + 1] = {0.1, 0.2, 0.3};
    const struct bt_set_request request = {.ndirection = BT_OBLIQUES_MAX + 1,
                                           .direction = direction};
    struct bt_error err = {0};
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    cr_expect_eq(bt_set_evaluate(&c.job, &c.set, &request, &r, &err), BT_ECALL);
    cr_expect_str_eq(err.message, "at most 2 angles of a straightedge can be laid on");
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

/* Turned over about its length, the first joint from the back edge lies last. */
Test(result, turns_the_joints_to_the_face_that_was_read)
{
    struct bt_set_result top, bottom;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    evaluate(&c, 0, NULL, &top);
    cr_assert_eq(top.extremes.facets.njoint, (size_t)2);
    cr_expect_eq(top.extremes.facets.kink[0].y, 80);
    cr_expect(fabs(top.extremes.facets.kink[0].degree.value - 0.4584) <= 0.001);
    /* the same readings said to be of the other face: joints at 80 and 220 again,
     * counted from what is then the back edge */
    c.joint[1] = 120;
    c.set.face = BT_FACE_BOTTOM;
    evaluate(&c, 0, NULL, &bottom);
    cr_assert_eq(bottom.extremes.facets.njoint, (size_t)2);
    cr_expect_eq(bottom.extremes.facets.kink[0].y, 180);
    cr_expect_eq(bottom.extremes.facets.kink[1].y, 220);
    bt_set_result_clear(&top);
    bt_set_result_clear(&bottom);
    builder_clear(&c.builder);
}

Test(result, leaves_out_joints_that_no_place_was_read_beyond)
{
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 9, 13);
    c.job.panel.width = NAN; /* the rectangle is that of the places */
    c.joint[2] = 340;
    c.job.njoint = 3;
    evaluate(&c, 0, NULL, &r);
    cr_expect_eq(r.extremes.facets.njoint, (size_t)2);
    bt_set_result_clear(&r);
    c.set.face = BT_FACE_BOTTOM; /* and where y cannot be turned, none is used */
    evaluate(&c, 0, NULL, &r);
    cr_expect_eq(r.extremes.facets.njoint, (size_t)0);
    cr_expect_eq(r.extremes.facets.preferred, BT_FACETS_NOT_SEEN);
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}

/* Places 200 mm apart along, 25 mm across: 300 mm see across only. */
Test(result, local_is_over_however_little_was_seen_but_kept_only_both_ways)
{
    const struct bt_judgement *j;
    struct bt_set_result r;
    struct case_of c;

    case_make(&c, boards, 5, 13);
    c.job.limits.local_span = 300;
    c.job.limits.limit[BT_FIGURE_LOCAL] = 5;
    evaluate(&c, 0, NULL, &r);
    cr_assert_not_null(bt_extremes_worst(&r.extremes, 300));
    cr_expect_not(r.local.seen);
    j = bt_set_judgement(&r, BT_FIGURE_LOCAL);
    cr_expect(j && j->verdict == BT_NOT_SEEN && isnan(j->value));
    bt_set_result_clear(&r);
    c.job.limits.limit[BT_FIGURE_LOCAL] = 0.1;
    evaluate(&c, 0, NULL, &r);
    cr_expect(r.local.seen && r.local.value > 0.1);
    cr_expect_eq(bt_set_judgement(&r, BT_FIGURE_LOCAL)->verdict, BT_OVER);
    cr_expect_null(bt_set_judgement(&r, BT_FIGURE_ZONE));
    bt_set_result_clear(&r);
    builder_clear(&c.builder);
}
