/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/dry_fit.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(dry_fit, .init = quiet_gsl);

enum { MOST = 16 };

static const double length = 1240, thickness = 27.5;

/* A joint as it is, and gaps read of it. */
struct shape {
    double level, lean, hollow, angle, wind;
};

static double gap_at(const struct shape *s, double at, bool show)
{
    double x = at / length, face = show ? 0.5 : -0.5;

    return s->level + s->lean * at + s->hollow * 4 * x * (1 - x) +
           face * thickness * (s->angle + s->wind * (x - 0.5));
}

/* Both faces at n places; u uneven unless it is given. */
static size_t read_both(const struct shape *s, size_t n, const double at[], double u,
                        struct bt_dry_gap gap[])
{
    for (size_t i = 0; i < 2 * n; i++) {
        gap[i] = (struct bt_dry_gap){.at = at[i / 2],
                                     .show = i % 2 == 0,
                                     .gap = gap_at(s, at[i / 2], i % 2 == 0),
                                     .u = u,
                                     .source = i};
        if (!(u > 0))
            gap[i].u = 0.01 + 0.005 * (double)(i % 3);
    }
    return 2 * n;
}

static struct bt_dry_joint_request ask(size_t n, const struct bt_dry_gap gap[])
{
    return (struct bt_dry_joint_request){.ngap = n,
                                         .gap = gap,
                                         .length = length,
                                         .thickness = thickness,
                                         .gap_most = 0.1,
                                         .closes = NAN,
                                         .confidence = 0.95};
}

static struct bt_dry_joint fit(const struct bt_dry_joint_request *request)
{
    struct bt_dry_joint joint = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_dry_joint_fit(request, &joint, &err), BT_OK, "%s", err.message);
    return joint;
}

static void expect_near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: %.15g, not %.15g", what, got, want);
}

static void expect_not_seen(const struct bt_measured *m, const char *what)
{
    cr_expect(!m->seen && isnan(m->value) && isnan(m->u), "%s: %g", what, m->value);
}

static const double places[] = {15, 330, 602.5, 925, 1231};

Test(dry_fit, exact_gaps_give_angle_wind_and_hollow_exactly)
{
    static const struct shape shape[] = {{0.9, 2e-4, 0.35, 0.004, 0.003},
                                         {1.2, -1e-4, -0.28, -0.006, 0.001},
                                         {0.5, 0, 0, 0, -0.002}};

    for (size_t k = 0; k < 3; k++)
        for (size_t n = 3; n <= 5; n++) {
            struct bt_dry_gap gap[MOST] = {{0}};
            struct bt_dry_joint_request request =
                ask(read_both(&shape[k], n, places, 0, gap), gap);
            struct bt_dry_joint j = fit(&request);

            cr_expect(j.angle.seen && j.wind.seen && j.hollow.seen && j.opening.seen);
            expect_near(j.angle.value, shape[k].angle, 1e-15, "angle");
            expect_near(j.wind.value, shape[k].wind, 1e-14, "wind");
            expect_near(j.hollow.value, shape[k].hollow, 1e-13, "hollow");
            expect_near(j.opening.value, fabs(shape[k].angle) * thickness, 1e-13,
                        "opening");
            expect_near(j.opening.u, j.angle.u * thickness, 1e-15, "u of opening");
            if (fabs(shape[k].angle) > 0)
                cr_expect_eq(j.opens_at_show, shape[k].angle > 0);
            cr_expect(j.chi2 <= 1e-20);
            cr_expect_eq(j.dof, 2 * n - 5);
        }
}

/* By hand: both faces at the ends and the middle, equal u.  angle t is the mean of the
 * differences of the faces (u sqrt(2/3)), hollow the mean of both middles less the mean
 * of the four ends (u sqrt(1/2 + 1/4)), wind t the difference of the two ends'
 * differences (u 2). */
Test(dry_fit, figures_of_three_places_are_those_worked_by_hand)
{
    static const double at[] = {0, 620, 1240};
    struct shape flat = {0};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&flat, 3, at, 0.02, gap), gap);
    struct bt_dry_joint j;
    static const double read[] = {0.10, 0.02, 0.21, 0.15, 0.12, 0.05};

    for (size_t i = 0; i < 6; i++)
        gap[i].gap = read[i];
    j = fit(&request);
    expect_near(j.opening.value, (0.08 + 0.06 + 0.07) / 3, 1e-15, "opening");
    expect_near(j.opening.u, 0.02 * sqrt(2.0 / 3), 1e-15, "u of opening");
    expect_near(j.hollow.value, 0.18 - 0.0725, 1e-15, "hollow");
    expect_near(j.hollow.u, 0.02 * sqrt(0.75), 1e-15, "u of hollow");
    expect_near(j.wind.value * thickness, 0.07 - 0.08, 1e-15, "wind");
    expect_near(j.wind.u * thickness, 0.02 * 2, 1e-14, "u of wind");
    expect_near(j.largest, 0.21, 0, "largest");
    cr_expect_eq(j.largest_gap, 2);
    cr_expect(j.opens_at_show);
}

Test(dry_fit, gaps_of_one_face_show_the_hollow_but_no_angle)
{
    struct shape s = {0.5, 0, 0.3, 0.004, 0};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 4, places, 0.02, gap), gap);
    struct bt_dry_joint j;

    for (size_t i = 0; i < 4; i++)
        gap[i] = gap[2 * i];
    request.ngap = 4;
    j = fit(&request);
    cr_expect(j.hollow.seen);
    expect_near(j.hollow.value, 0.3, 1e-13, "hollow");
    expect_not_seen(&j.angle, "angle");
    expect_not_seen(&j.opening, "opening");
    expect_not_seen(&j.wind, "wind");
    cr_expect(!j.opens_at_show);
    cr_expect_eq(j.angle_verdict, BT_DRY_NOT_SEEN);
    cr_expect_eq(j.wind_verdict, BT_DRY_NOT_SEEN);
    cr_expect_eq(j.dof, 1);
}

Test(dry_fit, one_place_shows_the_angle_alone_and_two_no_hollow)
{
    struct shape s = {0.5, 0, 0.3, 0.004, 0.001};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 1, places, 0.02, gap), gap);
    struct bt_dry_joint j = fit(&request);

    /* the angle there, 605 mm left of the middle */
    expect_near(j.angle.value, 0.004 + 0.001 * (15 - 620) / length, 1e-15, "angle");
    expect_not_seen(&j.wind, "wind");
    expect_not_seen(&j.hollow, "hollow");
    cr_expect_eq(j.dof, 0);
    cr_expect(isnan(j.chi2_p));
    request.ngap = read_both(&s, 2, places, 0.02, gap);
    j = fit(&request);
    expect_near(j.angle.value, 0.004, 1e-15, "angle");
    expect_near(j.wind.value, 0.001, 1e-14, "wind");
    expect_not_seen(&j.hollow, "hollow");
    cr_expect_eq(j.straight_verdict, BT_DRY_NOT_SEEN);
    request.ngap = 1;
    j = fit(&request);
    expect_not_seen(&j.angle, "angle");
    expect_not_seen(&j.wind, "wind");
    expect_not_seen(&j.hollow, "hollow");
    cr_expect_eq(j.mend, BT_MEND_READ_MORE);
}

/* Show face at the ends, the other in the middle: a hollow looks like an angle. */
Test(dry_fit, what_angle_and_hollow_explain_alike_is_neither)
{
    static const double at[] = {0, 620, 1240};
    struct shape s = {0.5, 0, 0.3, 0, 0};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 3, at, 0.02, gap), gap);
    struct bt_dry_joint j;

    gap[1] = gap[3];
    gap[2] = gap[4];
    request.ngap = 3;
    j = fit(&request);
    expect_not_seen(&j.angle, "angle");
    expect_not_seen(&j.hollow, "hollow");
    cr_expect_eq(j.mend, BT_MEND_READ_MORE);
}

Test(dry_fit, reversing_the_joint_turns_the_wind_and_nothing_else)
{
    struct shape s = {0.5, 1e-4, 0.3, 0.004, 0.002};
    struct bt_dry_gap gap[MOST] = {{0}}, turned[MOST] = {{0}};
    size_t n = read_both(&s, 5, places, 0, gap);
    struct bt_dry_joint_request request = ask(n, gap), other = ask(n, turned);
    struct bt_dry_joint a, b;

    for (size_t i = 0; i < n; i++) {
        gap[i].gap += 0.01 * (double)((7 * i) % 5);
        turned[n - 1 - i] = gap[i];
        turned[n - 1 - i].at = length - gap[i].at;
    }
    a = fit(&request);
    b = fit(&other);
    expect_near(b.angle.value, a.angle.value, 1e-15, "angle");
    expect_near(b.wind.value, -a.wind.value, 1e-14, "wind");
    expect_near(b.hollow.value, a.hollow.value, 1e-13, "hollow");
    expect_near(b.hollow.u, a.hollow.u, 1e-13, "u of hollow");
    expect_near(b.chi2, a.chi2, 1e-10, "chi2");
    for (size_t i = 0; i < n; i++)
        turned[i].show = !turned[i].show;
    b = fit(&other);
    expect_near(b.angle.value, -a.angle.value, 1e-15, "angle at the other face");
    cr_expect_neq(b.opens_at_show, a.opens_at_show);
}

Test(dry_fit, scaled_gaps_scale_the_figures)
{
    struct shape s = {0.5, 1e-4, 0.3, 0.004, 0.002};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 5, places, 0, gap), gap);
    struct bt_dry_joint a, b;

    gap[3].gap += 0.07;
    a = fit(&request);
    for (size_t i = 0; i < request.ngap; i++) {
        gap[i].gap *= 2.385;
        gap[i].u *= 2.385;
    }
    b = fit(&request);
    expect_near(b.angle.value, 2.385 * a.angle.value, 1e-15, "angle");
    expect_near(b.hollow.value, 2.385 * a.hollow.value, 1e-13, "hollow");
    expect_near(b.hollow.u, 2.385 * a.hollow.u, 1e-13, "u of hollow");
    expect_near(b.chi2, a.chi2, 1e-11 * a.chi2, "chi2");
}

Test(dry_fit, a_wavy_edge_enlarges_u_as_far_as_its_gaps_do_not_fit)
{
    struct shape s = {0.5, 0, 0, 0, 0};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 5, places, 0.01, gap), gap);
    struct bt_dry_joint calm = fit(&request), wavy;

    for (size_t i = 0; i < request.ngap; i++)
        gap[i].gap += (i / 2) % 2 ? 0.06 : 0;
    wavy = fit(&request);
    cr_expect(wavy.chi2 > 10 * (double)wavy.dof);
    cr_expect(wavy.chi2_p < 1e-4);
    expect_near(wavy.chi2_p, gsl_cdf_chisq_Q(wavy.chi2, 5), 1e-18, "p");
    expect_near(wavy.angle.u, calm.angle.u * sqrt(wavy.chi2 / 5), 1e-15, "u");
}

/* Both faces at five places, so that u of the opening is 0.02 sqrt(2/5) etc. */
static struct bt_dry_joint judged(double opening, double wind_opening, double hollow,
                                  double closes, double u)
{
    struct shape s = {1, 0, hollow, opening / thickness, 2 * wind_opening / thickness};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request = ask(read_both(&s, 5, places, u, gap), gap);

    request.closes = closes;
    return fit(&request);
}

Test(dry_fit, verdicts_and_what_to_mend_follow_what_is_open_most)
{
    static const struct {
        const char *name;
        double opening, wind, hollow, closes;
        enum bt_dry_verdict angle_verdict, wind_verdict, straight_verdict;
        int mend;
    } row[] = {
        {"all well", 0.03, 0.02, 0.04, NAN, BT_DRY_CLOSES, BT_DRY_CLOSES, BT_DRY_CLOSES,
         BT_MEND_NOTHING},
        {"angle", 0.3, 0.02, 0.04, NAN, BT_DRY_OPEN, BT_DRY_CLOSES, BT_DRY_CLOSES,
         BT_MEND_ANGLE},
        {"angle at the other face", -0.3, 0, 0, 0, BT_DRY_OPEN, BT_DRY_CLOSES,
         BT_DRY_CLOSES, BT_MEND_ANGLE},
        {"wind", 0, -0.3, 0, NAN, BT_DRY_CLOSES, BT_DRY_OPEN, BT_DRY_CLOSES,
         BT_MEND_WIND},
        {"hollow", 0, 0, 0.5, NAN, BT_DRY_CLOSES, BT_DRY_CLOSES, BT_DRY_OPEN,
         BT_MEND_HOLLOW},
        {"hollow that clamps close", 0, 0, 0.5, 0.6, BT_DRY_CLOSES, BT_DRY_CLOSES,
         BT_DRY_CLOSES, BT_MEND_NOTHING},
        {"crown, whatever the clamps", 0, 0, -0.5, 0.6, BT_DRY_CLOSES, BT_DRY_CLOSES,
         BT_DRY_OPEN, BT_MEND_CROWN},
        {"angle beside a larger crown", 0.3, 0, -0.5, 0.6, BT_DRY_OPEN, BT_DRY_CLOSES,
         BT_DRY_OPEN, BT_MEND_CROWN},
        {"angle larger beside its limit than the hollow", 0.3, 0, 0.8, 0.3, BT_DRY_OPEN,
         BT_DRY_CLOSES, BT_DRY_OPEN, BT_MEND_ANGLE},
        {"on the limit", 0.1, 0, 0, NAN, BT_DRY_TOO_CLOSE, BT_DRY_CLOSES, BT_DRY_CLOSES,
         BT_MEND_READ_MORE},
        {"on the limit beside an open one", 0.1, 0.3, 0, NAN, BT_DRY_TOO_CLOSE,
         BT_DRY_OPEN, BT_DRY_CLOSES, BT_MEND_WIND},
    };

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct bt_dry_joint j =
            judged(row[i].opening, row[i].wind, row[i].hollow, row[i].closes, 0.01);

        cr_expect_eq(j.angle_verdict, row[i].angle_verdict, "%s: angle", row[i].name);
        cr_expect_eq(j.wind_verdict, row[i].wind_verdict, "%s: wind", row[i].name);
        cr_expect_eq(j.straight_verdict, row[i].straight_verdict, "%s: straight",
                     row[i].name);
        cr_expect_eq((int)j.mend, row[i].mend, "%s: mend %d", row[i].name, (int)j.mend);
    }
}

/* JCGM 106:2012: an opening y of u within 0.1 either way with probability
 * Phi((0.1 - y)/u) - Phi((-0.1 - y)/u). */
Test(dry_fit, a_verdict_changes_where_the_probability_passes_the_confidence)
{
    double u = judged(0, 0, 0, NAN, 0.02).opening.u;
    double z = gsl_cdf_ugaussian_Pinv(0.95);

    cr_expect_eq(judged(0.1 - (z + 0.001) * u, 0, 0, NAN, 0.02).angle_verdict,
                 BT_DRY_CLOSES);
    cr_expect_eq(judged(0.1 - (z - 0.001) * u, 0, 0, NAN, 0.02).angle_verdict,
                 BT_DRY_TOO_CLOSE);
    cr_expect_eq(judged(0.1 + (z - 0.001) * u, 0, 0, NAN, 0.02).angle_verdict,
                 BT_DRY_TOO_CLOSE);
    cr_expect_eq(judged(0.1 + (z + 0.001) * u, 0, 0, NAN, 0.02).angle_verdict,
                 BT_DRY_OPEN);
    cr_expect_eq(judged(-0.1 - (z + 0.001) * u, 0, 0, NAN, 0.02).angle_verdict,
                 BT_DRY_OPEN);
}

Test(dry_fit, verdicts_have_names)
{
    cr_expect_str_eq(bt_dry_verdict_name(BT_DRY_CLOSES), "closes");
    cr_expect_str_eq(bt_dry_verdict_name(BT_DRY_OPEN), "open");
    cr_expect_str_eq(bt_dry_verdict_name(BT_DRY_TOO_CLOSE), "too close to call");
    cr_expect_str_eq(bt_dry_verdict_name(BT_DRY_NOT_SEEN), "not seen");
    cr_expect_str_eq(bt_dry_verdict_name((enum bt_dry_verdict)9), "unknown verdict");
}

static void expect_refused(const struct bt_dry_joint_request *request, size_t row,
                           const char *message)
{
    struct bt_dry_joint j, before;
    struct bt_error err = {0};

    memset(&j, 0x5a, sizeof j);
    before = j;
    cr_expect_eq(bt_dry_joint_fit(request, &j, &err), BT_EINPUT, "%s", message);
    cr_expect_eq(bt_dry_joint_fit(request, &j, NULL), BT_EINPUT, "%s", message);
    cr_expect_eq(err.code, BT_EINPUT, "%s", message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    cr_expect_eq(memcmp(&j, &before, sizeof j), 0, "%s: the joint is touched", message);
}

Test(dry_fit, a_request_out_of_its_range_is_refused)
{
    struct bt_dry_gap gap = {100, true, 0.1, 0.02, 0};
    const struct bt_dry_joint_request good = ask(1, &gap);
    struct bt_dry_joint_request bad = good;

    bad.ngap = 0;
    expect_refused(&bad, 0, "no gap of the joint is read");
    for (int i = 0; i < 4; i++) {
        double v = (const double[]){-1, NAN, INFINITY, 0}[i];

        bad = good;
        bad.length = v;
        expect_refused(&bad, 0, "the length of the joint is not a positive number");
        bad = good;
        bad.thickness = v;
        expect_refused(&bad, 0, "the thickness of the joint is not a positive number");
        bad = good;
        bad.gap_most = v;
        expect_refused(&bad, 0,
                       "the gap that the glue bridges is not a positive number");
        bad = good;
        bad.confidence = i == 3 ? 1 : v;
        expect_refused(&bad, 0, "the confidence does not lie between 0.5 and 1");
        bad = good;
        bad.closes = i % 2 ? INFINITY : -0.01; /* NaN: not known */
        expect_refused(&bad, 0,
                       "the hollow that the clamps close is not a number of 0 or more");
    }
}

Test(dry_fit, a_gap_out_of_its_range_is_refused)
{
    const struct bt_dry_gap good = {100, true, 0.1, 0.02, 0};
    struct bt_dry_gap gap[2] = {good, good};
    const struct bt_dry_joint_request request = ask(2, gap);

    for (int i = 0; i < 3; i++) {
        double v = (const double[]){-0.1, NAN, INFINITY}[i];

        gap[1] = good;
        gap[1].at = v;
        expect_refused(&request, 1, "the place of gap 2 does not lie on the joint");
        gap[1] = good;
        gap[1].gap = v;
        expect_refused(&request, 1, "gap 2 is not a number of 0 or more");
        gap[1] = good;
        gap[1].u = v;
        expect_refused(&request, 1,
                       "the uncertainty of gap 2 is not a positive number");
    }
    gap[1] = good;
    gap[1].u = 0;
    expect_refused(&request, 1, "the uncertainty of gap 2 is not a positive number");
    gap[1] = good;
    gap[1].at = 1240.5;
    expect_refused(&request, 1, "the place of gap 2 does not lie on the joint");
}

Test(dry_fit, numbers_that_cannot_be_computed_with_are_refused)
{
    struct shape s = {0.5, 0, 0.1, 0.001, 0};
    struct bt_dry_gap gap[MOST] = {{0}};
    struct bt_dry_joint_request request =
        ask(read_both(&s, 4, places, 1e-200, gap), gap);
    const char *message = "the numbers are too large or too small to compute with";

    expect_refused(&request, 0, message);
    read_both(&s, 4, places, 1e200, gap);
    expect_refused(&request, 0, message);
}
