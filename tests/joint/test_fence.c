/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/fence.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(fence, .init = quiet_gsl);

#define RIGHT 1.5707963267948966
#define DEG 0.017453292519943295

/* A reading near a right angle holds e to a rounding of 2e-16; what is computed from a
 * few of them to some more. */
#define ROUNDING 2e-15

static void expect_near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: %.15g, not %.15g", what, got, want);
}

/* Checks of each kind that say e. */
static struct bt_fence_check angle(double station, double e, double u)
{
    return (struct bt_fence_check){.kind = BT_FENCE_ANGLE,
                                   .station = station,
                                   .reading = RIGHT + e,
                                   .turned = NAN,
                                   .u_reading = u,
                                   .instrument = -1};
}

static struct bt_fence_check square(double station, double gap, double own,
                                    int instrument)
{
    return (struct bt_fence_check){.kind = BT_FENCE_SQUARE,
                                   .station = station,
                                   .gap = gap,
                                   .u_gap = 0.0125,
                                   .height = 125,
                                   .opens_at_top = true,
                                   .u_own = own,
                                   .instrument = instrument};
}

static struct bt_fence_check doubled(double station, double gap, double w1, double w2)
{
    return (struct bt_fence_check){.kind = BT_FENCE_DOUBLED,
                                   .station = station,
                                   .gap = gap,
                                   .u_gap = 0.02,
                                   .width = w1,
                                   .width2 = w2,
                                   .hollow_at_fence = true,
                                   .instrument = -1};
}

static struct bt_fence_request ask(size_t n, const struct bt_fence_check check[])
{
    return (struct bt_fence_request){.ncheck = n,
                                     .check = check,
                                     .length = 900,
                                     .cutter = 400,
                                     .same_station = 10,
                                     .confidence = 0.95};
}

static struct bt_fence_result combine(const struct bt_fence_request *request)
{
    struct bt_fence_result result;
    struct bt_error err = {0};

    cr_assert_eq(bt_fence_combine(request, &result, &err), BT_OK, "%s", err.message);
    return result;
}

static void expect_error(const struct bt_fence_check *check, double e, double u,
                         const char *what)
{
    double got_e, got_u;

    bt_fence_check_error(check, &got_e, &got_u);
    expect_near(got_e, e, ROUNDING, what);
    expect_near(got_u, u, 1e-12 * fabs(u), what);
}

Test(fence, a_square_gives_the_arc_tangent_of_gap_over_height)
{
    struct bt_fence_check check = square(0, 125 * tan(0.5 * DEG), 0, -1);

    /* d atan(g/h)/dg = h/(h^2 + g^2) = cos^2(e)/h */
    expect_error(&check, 0.5 * DEG, 0.0125 / 125 * pow(cos(0.5 * DEG), 2), "top");
    check.opens_at_top = false;
    expect_error(&check, -0.5 * DEG, 0.0125 / 125 * pow(cos(0.5 * DEG), 2), "bottom");
    check.gap = 0;
    expect_error(&check, 0, 0.0125 / 125, "closed");
}

/* Gap of the apex under a line over two faces that meet with a kink of 2 e: the faces
 * are laid down with cosines and sines. */
static double gap_of(double e, double w1, double w2)
{
    double x1 = -w1 * cos(e), y1 = w1 * sin(e), x2 = w2 * cos(e), y2 = w2 * sin(e);

    return (x2 * y1 - x1 * y2) / hypot(x2 - x1, y2 - y1);
}

Test(fence, doubled_offcuts_show_twice_the_error_whatever_their_widths)
{
    static const double width[][2] = {{100, 100}, {60, 145.5}, {210, 31}};
    static const double degrees[] = {0.1, 0.75, 6};

    for (size_t i = 0; i < 3; i++)
        for (size_t k = 0; k < 3; k++) {
            double e = degrees[k] * DEG, w1 = width[i][0], w2 = width[i][1];
            double d = 1e-4, u;
            struct bt_fence_check check = doubled(0, gap_of(e, w1, w2), w1, w2);

            /* u from the change of the gap with e, both ways */
            u = 0.02 * 2 * d / (gap_of(e + d, w1, w2) - gap_of(e - d, w1, w2));
            bt_fence_check_error(&check, &d, &d);
            expect_near(d, u, 1e-6 * u, "u");
            bt_fence_check_error(&check, &d, &u);
            expect_near(d, e, 1e-14, "hollow at the fence face");
            check.hollow_at_fence = false;
            bt_fence_check_error(&check, &d, &u);
            expect_near(d, -e, 1e-14, "hollow at the other face");
        }
}

/* 0.1 degree an edge opens a joint of 25 mm by 0.087 mm (t tan(2 e), derived in
 * reference/checks.py, section 5). */
Test(fence, the_error_that_doubled_offcuts_show_is_the_opening_of_a_joint)
{
    struct bt_fence_check check = doubled(0, 0.1745, 100, 100);
    double e, u;

    bt_fence_check_error(&check, &e, &u);
    expect_near(e, 0.1 * DEG, 0.5e-4 / 100, "e");
    expect_near(25 * tan(2 * e), 0.087, 0.0005, "opening");
}

Test(fence, a_gauge_read_both_ways_gives_half_the_difference)
{
    struct bt_fence_check check = angle(0, 0, 0.03 * DEG);

    check.reading = 90.2 * DEG;
    expect_error(&check, 0.2 * DEG, 0.03 * DEG, "one way");
    check.turned = 89.9 * DEG;
    expect_error(&check, 0.15 * DEG, 0.03 * DEG / sqrt(2), "both ways");
}

Test(fence, a_check_with_a_member_missing_has_no_error)
{
    struct bt_fence_check bad[] = {
        square(0, NAN, 0, -1),      square(0, -0.1, 0, -1),
        doubled(0, NAN, 100, 100),  doubled(0, 0.1, NAN, 100),
        doubled(0, 0.1, 100, 0),    doubled(0, 31, 100, 30),
        angle(0, NAN, 0.01),        angle(0, 0.01, NAN),
        angle(0, 0.01, 0),          angle(0, 0.01, INFINITY),
        square(0, INFINITY, 0, -1), {.kind = BT_FENCE_KINDS}};

    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double e = 1, u = 1;

        bt_fence_check_error(&bad[i], &e, &u);
        cr_expect(isnan(e) && isnan(u), "check %zu: %g, %g", i, e, u);
    }
}

Test(fence, kinds_have_names)
{
    cr_expect_str_eq(bt_fence_kind_name(BT_FENCE_SQUARE), "square");
    cr_expect_str_eq(bt_fence_kind_name(BT_FENCE_DOUBLED), "doubled");
    cr_expect_str_eq(bt_fence_kind_name(BT_FENCE_ANGLE), "angle");
    cr_expect_str_eq(bt_fence_kind_name(BT_FENCE_KINDS), "unknown check");
    cr_expect_str_eq(bt_fence_kind_name((enum bt_fence_kind)77), "unknown check");
}

/*
 * By hand: 0.0020 with u 0.0002 and 0.0026 with u 0.0004 have weights 25e6 and 6.25e6,
 * as 4 to 1.  Mean (4 x 0.0020 + 0.0026)/5 = 0.00212, variance 1/31.25e6 = 3.2e-8.
 * chi2 = 0.0006^2/(0.0002^2 + 0.0004^2) = 3.6e-7/2e-7 = 1.8 with 1 degree of freedom,
 * so the variance becomes 5.76e-8 and u 0.00024.
 */
Test(fence, two_checks_at_one_station_give_the_weighted_mean_worked_by_hand)
{
    struct bt_fence_check check[] = {angle(NAN, 0.0020, 0.0002),
                                     angle(NAN, 0.0026, 0.0004)};
    struct bt_fence_request request = ask(2, check);
    struct bt_fence_result r = combine(&request);

    cr_expect(r.e.seen);
    expect_near(r.e.value, 0.00212, ROUNDING, "e");
    expect_near(r.e.u, 0.00024, 1e-15, "u");
    expect_near(r.chi2, 1.8, 1e-11, "chi2");
    cr_expect_eq(r.dof, 1);
    cr_expect(isnan(r.scatter));
    cr_expect_eq(r.nstation, 1);
    cr_expect(isnan(r.station[0].station));
    cr_expect_eq(r.station[0].count, 2);
    expect_near(r.station[0].e.value, 0.00212, ROUNDING, "station");
    cr_expect(!r.slope.seen && isnan(r.slope.value) && isnan(r.slope.u));
    cr_expect(!r.twist.seen && isnan(r.twist.value) && isnan(r.twist.u));
    bt_fence_result_clear(&r);
}

/*
 * By hand: 0.001 and 0.003, u 0.0005 each, at stations 800 mm apart.  Q(tau^2) = (2 x
 * 0.001^2)/(u^2 + tau^2) = 1 gives u^2 + tau^2 = 2e-6, tau^2 = 1.75e-6; mean 0.002 with
 * variance 2e-6/2, u 0.001.  Slope 0.002/800 with u sqrt(2) 0.0005/800.
 */
Test(fence, two_stations_that_differ_make_scatter_and_a_slope_that_nothing_checks)
{
    struct bt_fence_check check[] = {angle(50, 0.001, 0.0005),
                                     angle(850, 0.003, 0.0005)};
    struct bt_fence_request request = ask(2, check);
    struct bt_fence_result r = combine(&request);

    expect_near(r.e.value, 0.002, ROUNDING, "e");
    expect_near(r.e.u, 0.001, 1e-13, "u");
    expect_near(r.scatter, sqrt(1.75e-6), 1e-13, "scatter");
    cr_expect(r.slope.seen && r.twist.seen);
    cr_expect_eq(r.slope_dof, 0);
    expect_near(r.slope.value, 0.002 / 800, 1e-17, "slope");
    expect_near(r.slope.u, sqrt(2) * 0.0005 / 800, 1e-17, "u of slope");
    expect_near(r.twist.value, 0.002 / 800 * 900, 1e-14, "twist");
    expect_near(r.twist.u, sqrt(2) * 0.0005 / 800 * 900, 1e-14, "u of twist");
    bt_fence_result_clear(&r);
    request.length = NAN; /* from outermost station to outermost station */
    r = combine(&request);
    expect_near(r.twist.value, 0.002, 1e-14, "twist between the stations");
    bt_fence_result_clear(&r);
}

enum { STATIONS = 5 };

static const double place[STATIONS] = {30, 210, 385, 610, 880};

/* Checks that lie on a line exactly. */
static void on_a_line(struct bt_fence_check check[STATIONS], double e, double slope)
{
    for (size_t i = 0; i < STATIONS; i++)
        check[i] = angle(place[i], e + slope * (place[i] - 400),
                         0.0003 + 0.0001 * (double)(i % 3));
}

Test(fence, exact_checks_give_the_exact_error_and_slope_and_no_scatter)
{
    struct bt_fence_check check[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check);
    struct bt_fence_result r;

    on_a_line(check, 0.00237, -1.75e-6);
    r = combine(&request);
    expect_near(r.e.value, 0.00237, ROUNDING, "e");
    expect_near(r.slope.value, -1.75e-6, 1e-17, "slope");
    expect_near(r.twist.value, -1.75e-6 * 900, 1e-14, "twist");
    cr_expect_eq(r.slope_dof, 3);
    cr_expect_eq(r.dof, 3);
    expect_near(r.scatter, 0, 0, "scatter");
    cr_expect(r.chi2 <= 1e-20);
    cr_expect_eq(r.agree, BT_FENCE_AGREE);
    cr_expect(!r.undecided);
    bt_fence_result_clear(&r);
}

Test(fence, the_error_is_given_at_the_cutter)
{
    struct bt_fence_check check[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check);
    static const struct {
        double cutter, length, at;
    } row[] = {{100, 900, 100}, {NAN, 900, 450}, {NAN, NAN, 455}};

    on_a_line(check, 0.002, 1.5e-6);
    for (size_t i = 0; i < 3; i++) {
        struct bt_fence_result r;

        request.cutter = row[i].cutter;
        request.length = row[i].length;
        r = combine(&request);
        expect_near(r.e.value, 0.002 + 1.5e-6 * (row[i].at - 400), ROUNDING, "e");
        bt_fence_result_clear(&r);
    }
}

/* Uneven checks of all kinds, some of one instrument, three at one station. */
enum { MIXED = 8 };

static void mixed(struct bt_fence_check check[MIXED])
{
    check[0] = square(100, 0.25, 2e-4, 3);
    check[1] = square(450, 0.31, 2e-4, 3);
    check[2] = square(800, 0.20, 2e-4, 3);
    check[3] = doubled(NAN, 0.15, 90, 110);
    check[4] = angle(447, 0.0031, 0.0006);
    check[5] = angle(452, 0.0011, 0.0008);
    check[6] = angle(20, 0.0034, 0.0005);
    check[6].u_own = 4e-4;
    check[6].instrument = 1;
    check[7] = angle(880, 0.0005, 0.0005);
    check[7].u_own = 4e-4;
    check[7].instrument = 1;
}

/* Values: NumPy 1.24 with the whole matrices and their inverses, tau^2 by the root
 * finder of SciPy. */
Test(fence, checks_of_all_kinds_and_shared_instruments_give_what_plain_matrices_give)
{
    struct bt_fence_check check[MIXED] = {{0}};
    struct bt_fence_request request = ask(MIXED, check);
    struct bt_fence_result r;

    mixed(check);
    r = combine(&request);
    cr_expect_eq(r.nstation, 6);
    cr_expect_eq(r.dof, 6);
    cr_expect_eq(r.slope_dof, 3);
    expect_near(r.e.value, 0.00195984629089745, 1e-13, "e");
    expect_near(r.e.u, 0.00034889651882233195, 1e-13, "u");
    expect_near(r.slope.value, -1.8627751493858717e-06, 1e-16, "slope");
    expect_near(r.slope.u, 1.0198559906106025e-06, 1e-16, "u of slope");
    expect_near(r.scatter, 0.0005957325294666927, 1e-12, "scatter");
    expect_near(r.chi2, 50.99138997628948, 1e-10, "chi2");
    expect_near(r.chi2_p, 2.9737139052796164e-09, 1e-18, "p");
    bt_fence_result_clear(&r);
}

/* Uniform numbers in -1 to 1, the same on every machine (Numerical Recipes' quick
 * generator, from memory; any would do). */
static double draw(unsigned long *state)
{
    *state = (*state * 1664525ul + 1013904223ul) & 0xfffffffful;
    return (double)*state / 2147483648.0 - 1.0;
}

/* Five stations whose own errors and whose readings scatter: over many fences the mean
 * square of what e is off is the mean of u^2.  Uniform errors of 1 have the standard
 * deviation 1/sqrt(3); 4000 fences tell a mean square to 3 %, and taking tau^2 as 0
 * where it comes out below makes u a little large. */
Test(fence, u_is_what_the_error_is_off_over_many_fences)
{
    struct bt_fence_check check[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check);
    unsigned long state = 1;
    double off = 0, variance = 0;
    const int fences = 4000;

    for (int k = 0; k < fences; k++) {
        struct bt_fence_result r;

        for (size_t i = 0; i < STATIONS; i++) {
            double own = 1.2e-3 * draw(&state), read = 0.8e-3 * draw(&state);
            check[i] = angle(place[i], 0.002 + own + read, 0.8e-3 / sqrt(3));
        }
        r = combine(&request);
        off += pow(r.e.value - 0.002, 2);
        variance += r.e.u * r.e.u;
        bt_fence_result_clear(&r);
    }
    cr_expect(fabs(variance / off - 1) <= 0.1, "%g", variance / off);
}

static void expect_same(const struct bt_measured *a, const struct bt_measured *b,
                        const char *what)
{
    cr_expect_eq(a->seen, b->seen, "%s", what);
    if (a->seen) {
        expect_near(a->value, b->value, 1e-11 * fabs(b->value), what);
        expect_near(a->u, b->u, 1e-11 * b->u, what);
    }
}

Test(fence, the_order_of_the_rows_does_not_matter)
{
    struct bt_fence_check check[MIXED] = {{0}}, turned[MIXED] = {{0}};
    struct bt_fence_request request = ask(MIXED, check), other = ask(MIXED, turned);
    struct bt_fence_result a, b;

    mixed(check);
    for (size_t i = 0; i < MIXED; i++)
        turned[i] = check[(3 * i + 5) % MIXED];
    a = combine(&request);
    b = combine(&other);
    expect_same(&b.e, &a.e, "e");
    expect_same(&b.slope, &a.slope, "slope");
    expect_same(&b.twist, &a.twist, "twist");
    expect_near(b.scatter, a.scatter, 1e-10 * a.scatter, "scatter");
    expect_near(b.chi2, a.chi2, 1e-11 * a.chi2, "chi2");
    expect_near(b.next_u, a.next_u, 1e-11 * a.next_u, "next");
    cr_expect_eq(b.next_kind, a.next_kind);
    cr_expect_eq((3 * b.worst + 5) % MIXED, a.worst);
    cr_assert_eq(a.nstation, 6);
    cr_assert_eq(b.nstation, 6);
    for (size_t s = 0; s < 6; s++) {
        cr_expect_eq(a.station[s].count, b.station[s].count);
        expect_same(&b.station[s].e, &a.station[s].e, "station");
    }
    for (int k = 0; k < BT_FENCE_KINDS; k++)
        expect_same(&b.kind[k].e, &a.kind[k].e,
                    bt_fence_kind_name((enum bt_fence_kind)k));
    bt_fence_result_clear(&a);
    bt_fence_result_clear(&b);
}

/* Angles alone scale as they stand. */
static void five_angles(struct bt_fence_check check[STATIONS], double scale,
                        double shift)
{
    static const double e[STATIONS] = {0.0021, 0.0034, 0.0005, 0.0029, 0.0016};

    for (size_t i = 0; i < STATIONS; i++) {
        check[i] = angle(place[i], scale * e[i] + shift,
                         scale * (0.0003 + 0.0001 * (double)(i % 3)));
        check[i].u_own = scale * 0.0002;
        check[i].instrument = (int)(i % 2);
    }
}

Test(fence, scaled_checks_scale_everything_that_is_an_angle)
{
    struct bt_fence_check check[STATIONS] = {{0}}, large[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check),
                            other = ask(STATIONS, large);
    struct bt_fence_result a, b;

    five_angles(check, 1, 0);
    five_angles(large, 2.385, 0);
    a = combine(&request);
    b = combine(&other);
    cr_assert(a.scatter > 1e-4);
    expect_near(b.e.value, 2.385 * a.e.value, 1e-13, "e");
    expect_near(b.e.u, 2.385 * a.e.u, 1e-13, "u");
    expect_near(b.slope.value, 2.385 * a.slope.value, 1e-15, "slope");
    expect_near(b.scatter, 2.385 * a.scatter, 1e-13, "scatter");
    expect_near(b.chi2, a.chi2, 1e-10, "chi2");
    bt_fence_result_clear(&a);
    bt_fence_result_clear(&b);
}

Test(fence, a_constant_added_to_all_checks_is_added_to_the_error_and_to_nothing_else)
{
    struct bt_fence_check check[STATIONS] = {{0}}, more[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check), other = ask(STATIONS, more);
    struct bt_fence_result a, b;

    five_angles(check, 1, 0);
    five_angles(more, 1, 0.0123);
    a = combine(&request);
    b = combine(&other);
    expect_near(b.e.value, a.e.value + 0.0123, 1e-14, "e");
    expect_near(b.e.u, a.e.u, 1e-14, "u");
    expect_near(b.slope.value, a.slope.value, 1e-16, "slope");
    expect_near(b.scatter, a.scatter, 1e-13, "scatter");
    for (size_t s = 0; s < STATIONS; s++)
        expect_near(b.station[s].e.value, a.station[s].e.value + 0.0123, 1e-14,
                    "station");
    bt_fence_result_clear(&a);
    bt_fence_result_clear(&b);
}

Test(fence, equal_weights_give_the_plain_mean)
{
    static const double e[4] = {0.0012, 0.0010, 0.0015, 0.0009};
    struct bt_fence_check check[4] = {{0}};
    struct bt_fence_request request = ask(4, check);
    struct bt_fence_result r;

    for (size_t i = 0; i < 4; i++)
        check[i] = angle(333, e[i], 0.0008);
    r = combine(&request);
    expect_near(r.e.value, (0.0012 + 0.0010 + 0.0015 + 0.0009) / 4, ROUNDING, "e");
    expect_near(r.e.u, 0.0008 / 2, 1e-16, "u");
    bt_fence_result_clear(&r);
}

Test(fence, the_error_of_one_square_does_not_average_out_but_that_of_several_does)
{
    struct bt_fence_check check[9] = {{0}};
    struct bt_fence_request request = ask(9, check);
    struct bt_fence_result r;
    double random = 0.0125 / 125, own = 7e-4;

    for (int i = 0; i < 9; i++)
        check[i] = square(400, 0, own, 4);
    r = combine(&request);
    expect_near(r.e.u, sqrt(random * random / 9 + own * own), 1e-15, "one square");
    bt_fence_result_clear(&r);
    for (int i = 0; i < 9; i++)
        check[i] = square(400, 0, own, i);
    r = combine(&request);
    expect_near(r.e.u, hypot(random, own) / 3, 1e-15, "nine squares");
    bt_fence_result_clear(&r);
    for (int i = 0; i < 9; i++)
        check[i].instrument = -1; /* each its own */
    r = combine(&request);
    expect_near(r.e.u, hypot(random, own) / 3, 1e-15, "nine without a name");
    bt_fence_result_clear(&r);
}

Test(fence, a_gauge_read_both_ways_owes_nothing_to_its_own_error)
{
    struct bt_fence_check check = angle(NAN, 0.002, 0.0004);
    struct bt_fence_request request = ask(1, &check);
    struct bt_fence_result r;

    check.u_own = 0.003;
    r = combine(&request);
    expect_near(r.e.u, hypot(0.0004, 0.003), 1e-15, "one way");
    bt_fence_result_clear(&r);
    check.turned = RIGHT - 0.001;
    check.u_own = NAN; /* not looked at */
    r = combine(&request);
    expect_near(r.e.value, 0.0015, ROUNDING, "e");
    expect_near(r.e.u, 0.0004 / sqrt(2), 1e-15, "both ways");
    bt_fence_result_clear(&r);
}

Test(fence, a_gauge_that_shows_tenths_is_no_proof_of_square_but_offcuts_are)
{
    struct bt_fence_check gauge = angle(NAN, 0.1 * DEG, 0.1 * DEG / sqrt(12));
    struct bt_fence_check offcuts = doubled(NAN, 100 * sin(0.1 * DEG), 100, 100);
    struct bt_fence_request request = ask(1, &gauge);
    struct bt_fence_result r;

    gauge.u_own = 0.05 * DEG;
    r = combine(&request);
    cr_expect(r.undecided, "%g of u %g", r.e.value, r.e.u);
    cr_expect_eq(r.agree, BT_FENCE_UNCHECKED);
    cr_expect_eq(r.dof, 0);
    cr_expect(isnan(r.chi2_p));
    bt_fence_result_clear(&r);
    request.check = &offcuts;
    r = combine(&request);
    expect_near(r.e.value, 0.1 * DEG, ROUNDING, "e");
    cr_expect(!r.undecided, "%g of u %g", r.e.value, r.e.u);
    bt_fence_result_clear(&r);
}

Test(fence, the_check_that_fits_least_is_named)
{
    struct bt_fence_check check[STATIONS] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check);
    struct bt_fence_result r;

    for (size_t k = 0; k < STATIONS; k++) {
        on_a_line(check, 0.001, 1e-6);
        check[k].reading -= 0.01;
        r = combine(&request);
        cr_expect_eq(r.worst, k, "%zu, not %zu", r.worst, k);
        cr_expect(r.worst_score > 3);
        cr_expect_eq(r.agree, BT_FENCE_DISAGREE);
        cr_expect(r.chi2_p < 0.05);
        bt_fence_result_clear(&r);
    }
}

Test(fence, of_two_checks_neither_fits_less)
{
    struct bt_fence_check check[] = {angle(100, 0.001, 0.0001),
                                     angle(700, 0.02, 0.002)};
    struct bt_fence_request request = ask(2, check);
    struct bt_fence_result r = combine(&request);

    cr_expect_eq(r.worst, 2);
    cr_expect(isnan(r.worst_score));
    cr_expect_eq(r.agree, BT_FENCE_DISAGREE);
    bt_fence_result_clear(&r);
}

Test(fence, checks_that_disagree_at_one_station_enlarge_u_and_are_no_scatter)
{
    /* stations agree in their means exactly */
    struct bt_fence_check check[] = {
        angle(100, 0.001, 0.0005), angle(100, 0.005, 0.0005), angle(800, 0.002, 0.0005),
        angle(800, 0.004, 0.0005)};
    struct bt_fence_request request = ask(4, check);
    struct bt_fence_result r = combine(&request);
    /* chi2 = (4 x 0.002^2 x 1/2 + ...): 2 (0.002^2 + 0.001^2)/0.0005^2 = 40, 3 dof */
    double q = 40;

    expect_near(r.scatter, 0, 0, "scatter");
    expect_near(r.chi2, q, 1e-9, "chi2");
    expect_near(r.e.u, 0.0005 / 2 * sqrt(q / 3), 1e-14, "u");
    cr_expect_eq(r.agree, BT_FENCE_DISAGREE);
    bt_fence_result_clear(&r);
}

Test(fence, stations_are_gathered_in_order_and_those_without_come_last)
{
    struct bt_fence_check check[] = {
        angle(800, 0.004, 0.0005), angle(NAN, 0.002, 0.0005), angle(104, 0.003, 0.0005),
        angle(110, 0.001, 0.0005), angle(100, 0.002, 0.0005)};
    struct bt_fence_request request = ask(5, check);
    struct bt_fence_result r = combine(&request);

    /* 110 is 10 from 100, where that station begins, and not nearer */
    cr_assert_eq(r.nstation, 4);
    expect_near(r.station[0].station, 102, 1e-12, "first");
    cr_expect_eq(r.station[0].count, 2);
    expect_near(r.station[0].e.value, 0.0025, ROUNDING, "first");
    expect_near(r.station[1].station, 110, 0, "second");
    expect_near(r.station[2].station, 800, 0, "third");
    cr_expect(isnan(r.station[3].station));
    expect_near(r.station[3].e.value, 0.002, ROUNDING, "without");
    cr_expect_eq(r.slope_dof, 1);
    bt_fence_result_clear(&r);
    request.same_station = 0; /* equal ones are still one */
    check[2].station = 100;
    r = combine(&request);
    cr_expect_eq(r.nstation, 4);
    bt_fence_result_clear(&r);
}

Test(fence, kinds_are_told_apart_at_the_cutter)
{
    struct bt_fence_check check[6] = {{0}};
    struct bt_fence_request request = ask(6, check);
    struct bt_fence_result r;

    on_a_line(check, 0.002, 3e-6);
    check[5] = doubled(NAN, 100 * sin(0.002), 100, 100);
    check[0].kind = check[1].kind = BT_FENCE_SQUARE; /* both at the infeed end */
    for (size_t i = 0; i < 2; i++) {
        check[i].gap = 125 * tan(0.002 + 3e-6 * (place[i] - 400));
        check[i].u_gap = 0.03;
        check[i].height = 125;
        check[i].opens_at_top = true;
    }
    r = combine(&request);
    cr_expect_eq(r.kind[BT_FENCE_SQUARE].count, 2);
    cr_expect_eq(r.kind[BT_FENCE_DOUBLED].count, 1);
    cr_expect_eq(r.kind[BT_FENCE_ANGLE].count, 3);
    for (int k = 0; k < BT_FENCE_KINDS; k++)
        expect_near(r.kind[k].e.value, 0.002, 1e-14, "kind");
    /* far from the cutter the slope's u counts too: mean of levers -370 and -190 */
    cr_expect(r.kind[BT_FENCE_SQUARE].e.u >
              hypot(0.03 / 125 / sqrt(2), 279 * r.slope.u));
    bt_fence_result_clear(&r);
    request.ncheck = 5;
    r = combine(&request);
    cr_expect_eq(r.kind[BT_FENCE_DOUBLED].count, 0);
    cr_expect(!r.kind[BT_FENCE_DOUBLED].e.seen &&
              isnan(r.kind[BT_FENCE_DOUBLED].e.value));
    bt_fence_result_clear(&r);
}

/* Taken, the check that is advised brings u down to what was said. */
Test(fence, the_next_check_keeps_its_promise)
{
    struct bt_fence_check check[STATIONS + 1] = {{0}};
    struct bt_fence_request request = ask(STATIONS, check);
    struct bt_fence_result a, b;

    on_a_line(check, 0.002, 1e-6);
    a = combine(&request);
    cr_expect_eq(a.next_kind, BT_FENCE_DOUBLED);
    expect_near(a.next_station, 400, 0, "station");
    cr_expect(a.next_u < a.e.u);
    /* feelers in steps of 0.05 mm, common practice */
    check[STATIONS] = doubled(400, 100 * sin(0.002), 100, 100);
    check[STATIONS].u_gap = 0.05 / sqrt(12);
    request.ncheck++;
    b = combine(&request);
    expect_near(b.e.u, a.next_u, 1e-5 * a.next_u, "u");
    bt_fence_result_clear(&a);
    bt_fence_result_clear(&b);
}

Test(fence, a_poor_square_is_not_helped_by_itself)
{
    struct bt_fence_check check[3] = {{0}};
    struct bt_fence_request request = ask(3, check);
    struct bt_fence_result r;

    for (size_t i = 0; i < 3; i++)
        check[i] = square(100 + 350 * (double)i, 0.2, 1.5e-3, 0);
    r = combine(&request);
    cr_expect_neq(r.next_kind, BT_FENCE_SQUARE);
    cr_expect(r.next_u < r.e.u / 5, "%g of %g", r.next_u, r.e.u);
    bt_fence_result_clear(&r);
}

Test(fence, a_good_square_is_wanted_where_the_fence_is_unread)
{
    static const struct {
        double station[2], length, want;
    } row[] = {{{100, 400}, 900, 900},  /* the outfeed end is 500 away */
               {{420, 880}, 900, 0},    /* the infeed end */
               {{50, 850}, 900, 450},   /* the middle */
               {{50, 850}, NAN, 450},   /* without ends the same */
               {{400, 405}, NAN, NAN}}; /* one station: anywhere */

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct bt_fence_check check[2];
        struct bt_fence_request request = ask(2, check);
        struct bt_fence_result r;

        for (size_t k = 0; k < 2; k++) {
            check[k] = square(row[i].station[k], 0.2, 0, -1);
            check[k].u_gap = 0.002;
        }
        request.length = row[i].length;
        r = combine(&request);
        cr_expect_eq(r.next_kind, BT_FENCE_SQUARE, "row %zu", i);
        cr_expect(isnan(row[i].want) ? isnan(r.next_station)
                                     : fabs(r.next_station - row[i].want) <= 1e-12,
                  "row %zu: %g", i, r.next_station);
        bt_fence_result_clear(&r);
    }
}

Test(fence, the_next_check_of_a_kind_has_the_median_u_of_those_typed)
{
    struct bt_fence_check check[4] = {{0}};
    static const double u[] = {0.004, 0.0002, 0.001, 0.003};
    struct bt_fence_request request = ask(4, check);
    struct bt_fence_result r;
    double w = 0, own;

    for (size_t i = 0; i < 4; i++) {
        check[i] = square(NAN, 0.25, 0, -1);
        check[i].u_gap = u[i];
        bt_fence_check_error(&check[i], &own, &own);
        w += 1 / (own * own);
    }
    r = combine(&request);
    bt_fence_check_error(&check[2], &own, &own); /* the lower of the middle two */
    cr_expect_eq(r.next_kind, BT_FENCE_SQUARE);
    expect_near(r.next_u, 1 / sqrt(w + 1 / (own * own)), 1e-15, "u");
    bt_fence_result_clear(&r);
}

static void expect_refused(const struct bt_fence_request *request, size_t row,
                           const char *message)
{
    struct bt_fence_result r, before;
    struct bt_error err = {0};

    memset(&r, 0x5a, sizeof r);
    before = r;
    cr_expect_eq(bt_fence_combine(request, &r, &err), BT_EINPUT, "%s", message);
    cr_expect_eq(bt_fence_combine(request, &r, NULL), BT_EINPUT, "%s", message);
    cr_expect_eq(err.code, BT_EINPUT, "%s", message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_str_eq(err.message, message, "%s", err.message);
    cr_expect_eq(memcmp(&r, &before, sizeof r), 0, "%s: the result is touched",
                 message);
}

Test(fence, a_request_out_of_its_range_is_refused)
{
    static struct bt_fence_check check[BT_FENCE_MOST_CHECKS + 1];
    const struct bt_fence_request good = ask(1, check);
    struct bt_fence_request bad = good;

    for (size_t i = 0; i < BT_FENCE_MOST_CHECKS + 1; i++)
        check[i] = angle(NAN, 0.001, 0.001);
    bad.ncheck = 0;
    expect_refused(&bad, 0, "there is no check of the fence");
    bad.ncheck = BT_FENCE_MOST_CHECKS + 1;
    expect_refused(&bad, BT_FENCE_MOST_CHECKS,
                   "401 checks are more than the 400 that can be combined");
    for (int i = 0; i < 3; i++) {
        bad = good;
        bad.length = (const double[]){0, -3, INFINITY}[i];
        expect_refused(&bad, 0, "the length of the fence is not a positive number");
        bad = good;
        bad.cutter = (const double[]){-1, 901, INFINITY}[i];
        expect_refused(&bad, 0, "the cutter does not lie on the fence");
        bad = good;
        bad.same_station = (const double[]){-1, NAN, INFINITY}[i];
        expect_refused(&bad, 0, "the size of a station is not a number of 0 or more");
        bad = good;
        bad.confidence = (const double[]){0.49, NAN, 1}[i];
        expect_refused(&bad, 0, "the confidence does not lie between 0.5 and 1");
    }
}

static void expect_check_refused(struct bt_fence_check bad, const char *message)
{
    struct bt_fence_check check[2] = {angle(NAN, 0.001, 0.001), bad};
    struct bt_fence_request request = ask(2, check);

    expect_refused(&request, 1, message);
}

Test(fence, a_gap_check_out_of_its_range_is_refused)
{
    struct bt_fence_check bad;

    for (int i = 0; i < 3; i++) {
        double not_positive = (const double[]){-1, NAN, INFINITY}[i];

        expect_check_refused(square(0, not_positive, 0, -1),
                             "the gap of check 2 is not a number of 0 or more");
        expect_check_refused(doubled(0, not_positive, 90, 90),
                             "the gap of check 2 is not a number of 0 or more");
        bad = square(0, 0.1, 0, -1);
        bad.u_gap = not_positive;
        expect_check_refused(bad,
                             "the uncertainty of check 2 is not a positive number");
        bad = square(0, 0.1, 0, -1);
        bad.height = not_positive;
        expect_check_refused(bad, "the height of check 2 is not a positive number");
        expect_check_refused(doubled(0, 0.1, not_positive, 90),
                             "a width of check 2 is not a positive number");
        expect_check_refused(doubled(0, 0.1, 90, not_positive),
                             "a width of check 2 is not a positive number");
        expect_check_refused(square(0, 0.1, not_positive, 0),
                             "the own error of check 2 is not a number of 0 or more");
    }
    expect_check_refused(doubled(0, 0.1, 90, 0),
                         "a width of check 2 is not a positive number");
    expect_check_refused(doubled(0, 30, 90, 30),
                         "the gap of check 2 is not smaller than its offcuts");
    expect_check_refused(square(0, 25, 0, -1),
                         "check 2 puts the fence more than 10 degrees out of square");
    expect_check_refused(doubled(0, 20, 90, 90),
                         "check 2 puts the fence more than 10 degrees out of square");
}

Test(fence, an_angle_out_of_its_range_is_refused)
{
    struct bt_fence_check bad = angle(NAN, 0.001, 0.001);

    bad.reading = 9 * DEG;
    expect_check_refused(bad, "check 2 reads more than 10 degrees off a right angle");
    bad.turned = 9 * DEG; /* their difference would be nothing out of the way */
    expect_check_refused(bad, "check 2 reads more than 10 degrees off a right angle");
    bad.reading = 90 * DEG;
    expect_check_refused(bad, "check 2 reads more than 10 degrees off a right angle");
    bad.turned = INFINITY;
    expect_check_refused(bad, "a reading of check 2 is not a finite number");
    bad.turned = NAN;
    bad.reading = NAN;
    expect_check_refused(bad, "a reading of check 2 is not a finite number");
    expect_check_refused(angle(NAN, 0.001, 0),
                         "the uncertainty of check 2 is not a positive number");
    expect_check_refused(angle(NAN, 0.001, NAN),
                         "the uncertainty of check 2 is not a positive number");
    bad = angle(NAN, 0.001, 0.001);
    bad.u_own = NAN;
    expect_check_refused(bad, "the own error of check 2 is not a number of 0 or more");
}

Test(fence, a_check_of_no_kind_or_off_the_fence_is_refused)
{
    struct bt_fence_check bad = angle(NAN, 0.001, 0.001);

    bad.kind = BT_FENCE_KINDS;
    expect_check_refused(bad, "check 2 is of an unknown kind");
    bad.kind = (enum bt_fence_kind)99;
    expect_check_refused(bad, "check 2 is of an unknown kind");
    expect_check_refused(angle(900.5, 0.001, 0.001),
                         "the station of check 2 does not lie on the fence");
    expect_check_refused(angle(-0.5, 0.001, 0.001),
                         "the station of check 2 does not lie on the fence");
    expect_check_refused(angle(INFINITY, 0.001, 0.001),
                         "the station of check 2 does not lie on the fence");
}

Test(fence, uncertainties_that_no_number_holds_are_refused)
{
    struct bt_fence_check check[2] = {angle(NAN, 0.001, 1e-200),
                                      angle(NAN, 0.001, 1e-200)};
    struct bt_fence_request request = ask(2, check);
    const char *message =
        "the uncertainties are too large or too small to compute with";

    expect_refused(&request, 0, message);
    check[0].u_reading = check[1].u_reading = 1e200;
    expect_refused(&request, 0, message);
    check[0].u_reading = check[1].u_reading = 1e-12;
    check[0].u_own = check[1].u_own = 1; /* shared: beside it their own u is nothing */
    check[0].instrument = check[1].instrument = 0;
    expect_refused(&request, 0, message);
}

Test(fence, clearing_accepts_nothing_and_twice)
{
    struct bt_fence_check check = angle(NAN, 0.001, 0.001);
    struct bt_fence_request request = ask(1, &check);
    struct bt_fence_result r = combine(&request);

    bt_fence_result_clear(NULL);
    bt_fence_result_clear(&r);
    bt_fence_result_clear(&r);
    cr_expect_null(r.station);
}
