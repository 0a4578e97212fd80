/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/judge/pull_flat.h"
#include "support/memory.h"
#include "support/reference.h"

/* An ash top 600 mm wide, 1200 long, 22 thick, crowned by 1.6 mm; E across 900 MPa. */
static const double three[] = {0.0, 300.0, 600.0};

static struct bt_pull_request top(void)
{
    struct bt_pull_request r = {.extent = 600.0,
                                .breadth = 1200.0,
                                .thickness = 22.0,
                                .E = {.value = 900.0, .u = 200.0},
                                .form = {1.6, 0.1, true},
                                .nline = 3,
                                .line = three,
                                .screws = 4,
                                .hand_force = NAN,
                                .hand_gap = NAN,
                                .u_hand = NAN};
    return r;
}

static struct bt_pull solved(const struct bt_pull_request *r)
{
    struct bt_pull p = {0};
    struct bt_error err = {0};

    cr_assert_eq(bt_pull_evaluate(r, &p, &err), BT_OK, "%s", err.message);
    return p;
}

static void near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s: got %.12g, want %.12g", what, got, want);
}

/* By hand: I = 1200 x 22^3/12 = 1064800 mm4; P = 48 E I d/S^3 = 48 x 900 x 1064800 x
 * 1.6/600^3 = 340.736 N in the middle, half at each end; of 4 screws one carries a
 * third.  M = P S/4, stress M c/I = 340.736 x 600/4 x 11/1064800 = 0.528 MPa; bent
 * evenly it would be 900 x 11 x 8 x 1.6/600^2 = 0.352 MPa. */
Test(pull_flat, three_lines_take_the_centre_load_of_a_beam)
{
    const struct bt_pull_request r = top();
    struct bt_pull p = solved(&r);

    near(p.force[1], 340.736, 1e-9, "middle");
    near(p.force[0], -170.368, 1e-9, "back");
    near(p.force[2], -170.368, 1e-9, "front");
    near(p.computed, 340.736 / 3.0, 1e-9, "one screw");
    near(p.stress, 0.528, 1e-12, "stress");
    near(p.stress_even, 0.352, 1e-12, "even stress");
    near(p.sagitta, 1.6, 1e-12, "sagitta");
    cr_expect(isnan(p.measured) && isnan(p.u_measured));
    near(p.screw, p.computed, 0.0, "screw");
    bt_pull_clear(&p);
    cr_expect(p.force == NULL);
}

static double coefficient(struct reference *t, const char *name)
{
    return reference_number(t, reference_find(t, "case", name, 0),
                            "coefficient_or_check");
}

/* reference/beams.csv: I = b h^3/12, d = P L^3/(48 E I) in the middle, and for the even
 * bend d = M L^2/(8 E I) with s = k w^2/8; its coefficients have six digits. */
Test(pull_flat, agrees_with_the_table_of_beams)
{
    struct reference *t = reference_load("beams.csv");
    const struct bt_pull_request r = top();
    struct bt_pull p = solved(&r);
    const double I = coefficient(t, "rectangular section") * 1200.0 * pow(22.0, 3.0);
    const double EI = 900.0 * I;
    const double moment = p.stress_even * I / 11.0;

    near(coefficient(t, "simply supported, centre point load P") * p.force[1] *
             pow(600.0, 3.0) / EI,
         1.6, 2e-5, "centre load");
    near(coefficient(t, "beam bent by end moments M (cup springing flat)") * moment *
             600.0 * 600.0 / EI,
         1.6, 2e-5, "end moments");
    near(coefficient(t, "sagitta of curvature") * moment / EI * 600.0 * 600.0, 1.6,
         2e-5, "sagitta");
    bt_pull_clear(&p);
    reference_free(t);
}

/* Left over with three lines: the parabola less the cubic of the beam.  With y from the
 * end and d 1: 4 y (1 - y) - (3 y - 4 y^3), largest where 1 - 8 y + 12 y^2 = 0,
 * y = 1/6: 4/6 x 5/6 - (1/2 - 4/216) = 2/27. */
Test(pull_flat, tells_what_is_left_between_the_lines)
{
    const struct bt_pull_request r = top();
    struct bt_pull p = solved(&r);

    near(p.left, 1.6 * 2.0 / 27.0, 1e-12, "left");
    bt_pull_clear(&p);
}

/* Beyond the outer lines the panel stays as it was, straightened at the line: lines at
 * 0.2, 0.5, 0.8 of the extent; by hand with y = t/0.6 of the span from the first line:
 * the cubic's slope at the end is 3 d'/span, d' = 0.36 the sagitta of the span, the
 * parabola's 4 x 0.6 there, 2.4 - 1.8 = 0.6 left: at the panel's end 0.2 x 0.6 + 4 x
 * 0.04 = 0.28 of the crown. */
Test(pull_flat, tells_what_stays_up_beyond_the_outer_lines)
{
    const double inner[] = {120.0, 300.0, 480.0};
    struct bt_pull_request r = top();
    struct bt_pull p;

    r.line = inner;
    p = solved(&r);
    near(p.left, 0.28 * 1.6, 1e-12, "left");
    near(p.sagitta, 0.36 * 1.6, 1e-12, "sagitta of the span");
    bt_pull_clear(&p);
}

Test(pull_flat, forces_balance_and_turn_nothing_for_any_lines)
{
    const double line[] = {10.0, 95.0, 260.0, 271.0, 500.0, 590.0};
    struct bt_pull_request r = top();
    struct bt_pull p;
    double sum = 0.0, turn = 0.0, size = 0.0;

    r.nline = 6;
    r.line = line;
    p = solved(&r);
    for (size_t k = 0; k < 6; k++) {
        sum += p.force[k];
        turn += p.force[k] * line[k];
        size += fabs(p.force[k]);
    }
    near(sum, 0.0, 1e-12 * size, "sum");
    near(turn, 0.0, 1e-9 * size, "moment");
    bt_pull_clear(&p);
}

Test(pull_flat, many_lines_come_to_the_even_bend_and_leave_nothing)
{
    double line[61];
    struct bt_pull_request r = top();
    struct bt_pull p;

    for (size_t k = 0; k < 61; k++)
        line[k] = 10.0 * (double)k;
    r.nline = 61;
    r.line = line;
    p = solved(&r);
    cr_expect(p.left <= 1e-3, "left %g", p.left);
    /* The ends, where no moment is, pull the next lines up: 27 % more for evenly
     * spaced lines (natural spline of a parabola: 3 - sqrt(3) = 1.268). */
    near(p.stress / p.stress_even, 3.0 - sqrt(3.0), 1e-9, "stress");
    bt_pull_clear(&p);
}

Test(pull_flat, a_hollow_turns_the_forces_round_and_keeps_their_size)
{
    struct bt_pull_request r = top();
    struct bt_pull a = solved(&r), b;

    r.form.value = -r.form.value;
    b = solved(&r);
    for (size_t k = 0; k < 3; k++)
        near(b.force[k], -a.force[k], 0.0, "force");
    near(b.screw, a.screw, 0.0, "screw");
    near(b.stress, a.stress, 0.0, "stress");
    near(b.left, a.left, 0.0, "left");
    bt_pull_clear(&a);
    bt_pull_clear(&b);
}

/* By hand: sqrt((200/900)^2 + (3 x 0.015)^2 + (0.1/1.6)^2) = 0.235190 of the force. */
Test(pull_flat, u_is_made_of_stiffness_thickness_and_form)
{
    struct bt_pull_request r = top();
    struct bt_pull p = solved(&r);

    near(p.u_computed / p.computed, 0.23519, 1e-5, "force");
    near(p.u_stress / p.stress,
         sqrt(pow(200.0 / 900.0, 2.0) + 0.015 * 0.015 + pow(0.1 / 1.6, 2.0)), 1e-12,
         "stress");
    bt_pull_clear(&p);
    r.form.value = 0.0;
    p = solved(&r);
    near(p.computed, 0.0, 0.0, "flat");
    near(p.u_computed, 340.736 / 3.0 / 1.6 * 0.1, 1e-9, "u of a flat panel's force");
    bt_pull_clear(&p);
    r.E.u = NAN;
    p = solved(&r);
    cr_expect(isnan(p.u_computed) && isnan(p.u_stress));
    bt_pull_clear(&p);
}

/* 60 N closed 1.2 mm: 1.6 mm takes 80 N. */
Test(pull_flat, a_force_by_hand_stands_in_for_the_computed_one)
{
    struct bt_pull_request r = top();
    struct bt_pull p;

    r.hand_force = 60.0;
    r.hand_gap = 1.2;
    p = solved(&r);
    near(p.measured, 80.0, 1e-12, "measured");
    near(p.screw, 80.0, 1e-12, "screw");
    near(p.u_measured, hypot(80.0 * BT_PULL_HAND_SCATTER, 50.0 * 0.1), 1e-12, "u");
    near(p.u_screw, p.u_measured, 0.0, "u of screw");
    near(p.computed, 340.736 / 3.0, 1e-9, "computed");
    bt_pull_clear(&p);
    r.u_hand = 0.1;
    p = solved(&r);
    near(p.u_measured, hypot(8.0, 5.0), 1e-12, "u as stated");
    bt_pull_clear(&p);
}

Test(pull_flat, of_the_screws_on_a_line_one_carries_most)
{
    static const struct {
        size_t screws;
        double share;
    } row[] = {{1, 1.0}, {2, 0.5}, {3, 0.5}, {4, 1.0 / 3.0}, {7, 1.0 / 6.0}};

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct bt_pull_request r = top();
        struct bt_pull p;

        r.screws = row[i].screws;
        p = solved(&r);
        cr_expect(fabs(p.computed - 340.736 * row[i].share) <= 1e-9, "%zu screws",
                  row[i].screws);
        bt_pull_clear(&p);
    }
}

static void refused(const struct bt_pull_request *r, size_t row, const char *message)
{
    struct bt_pull p = {.screw = 7.0};
    struct bt_error err = {0};

    cr_expect_eq(bt_pull_evaluate(r, &p, &err), BT_EINPUT, "%s", message);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect(p.screw == 7.0, "untouched");
    cr_expect_eq(bt_pull_evaluate(r, &p, NULL), BT_EINPUT);
}

Test(pull_flat, refuses_what_it_cannot_reckon_with)
{
    static const char *const sides =
        "the sides and the thickness of the panel must be finite numbers above 0";
    static const char *const stiff =
        "the stiffness of the wood is not a finite number above 0";
    static const char *const form = "the form to be pulled flat is not seen";
    static const char *const hand =
        "a hand's force and the gap that it closed must be finite numbers above 0";
    static const char *const pair =
        "a hand's force needs the gap that it closed, and the gap its force";
    const double equal[] = {0.0, 300.0, 300.0}, off[] = {0.0, 300.0, 601.0},
                 nan[] = {0.0, NAN, 600.0}, before[] = {-1.0, 300.0, 600.0};
    struct bt_pull_request r;

#define REFUSED(change, row, message)                                                  \
    do {                                                                               \
        r = top();                                                                     \
        change;                                                                        \
        refused(&r, row, message);                                                     \
    } while (0)
    REFUSED(r.extent = NAN, 0, sides);
    REFUSED(r.breadth = 0.0, 0, sides);
    REFUSED(r.thickness = INFINITY, 0, sides);
    REFUSED(r.E.value = NAN, 0, stiff);
    REFUSED(r.E.value = -1.0, 0, stiff);
    REFUSED(r.E.u = -1.0, 0, stiff);
    REFUSED(r.form.seen = false, 0, form);
    REFUSED(r.form.value = NAN, 0, form);
    REFUSED(r.form.u = NAN, 0, form);
    REFUSED(r.screws = 0, 0, "a line of fixings has no screw");
    REFUSED(r.nline = 2, 2, "2 lines of fixings bend nothing, three would do");
    REFUSED(r.line = equal, 2,
            "line 3 of the fixings is off the panel or not beyond the one before");
    REFUSED(r.line = off, 2,
            "line 3 of the fixings is off the panel or not beyond the one before");
    REFUSED(r.line = nan, 1,
            "line 2 of the fixings is off the panel or not beyond the one before");
    REFUSED(r.line = before, 0,
            "line 1 of the fixings is off the panel or not beyond the one before");
    REFUSED(r.hand_force = 60.0, 0, pair);
    REFUSED(r.hand_gap = 1.0, 0, pair);
    REFUSED((r.hand_force = 60.0, r.hand_gap = 0.0), 0, hand);
    REFUSED((r.hand_force = INFINITY, r.hand_gap = 1.0), 0, hand);
    REFUSED(r.u_hand = 0.0, 0, "u of a hand's force is not a finite number above 0");
#undef REFUSED
}

Test(pull_flat, survives_each_failed_allocation_without_a_leak)
{
    const struct bt_pull_request r = top();
    size_t calls = 0;

    for (size_t k = 1; k == 1 || k <= calls; k++) {
        const size_t live = memory_live();
        struct bt_pull p = {0};
        struct bt_error err = {0};
        enum bt_status status;

        memory_fail_at(0);
        cr_assert_eq(bt_pull_evaluate(&r, &p, NULL), BT_OK);
        calls = memory_calls();
        bt_pull_clear(&p);
        memory_fail_at(k);
        status = bt_pull_evaluate(&r, &p, &err);
        memory_fail_at(0);
        cr_expect_eq(status, BT_ENOMEM, "call %zu", k);
        cr_expect_str_eq(err.message, "no memory for the forces of fixings");
        cr_expect_eq(memory_live(), live, "call %zu leaks", k);
    }
    cr_expect_eq(calls, 3);
    bt_pull_clear(NULL);
}

/* By hand: G 800, t 22, 1200 x 600, 2 mm: 800 x 10648 x 2/(3 x 720000) = 7.887407 N. */
Test(pull_flat, corners_take_a_twist_out_with_the_plate_formula)
{
    const struct bt_wood_value G = {.value = 800.0, .u = 160.0};
    const struct bt_measured twist = {-2.0, 0.2, true};
    const struct bt_measured f = bt_pull_twist(1200.0, 600.0, 22.0, &G, &twist);
    /* reference/beams.csv: w = P a b/(2 D (1 - nu)), D = E t^3/(12 (1 - nu^2)),
     * E = 2 G (1 + nu), any nu. */
    const double nu = 0.3, E = 2.0 * 800.0 * (1.0 + nu);
    const double D = E * pow(22.0, 3.0) / (12.0 * (1.0 - nu * nu));

    cr_assert(f.seen);
    near(f.value, 7.887407407, 1e-9, "force");
    near(f.value * 1200.0 * 600.0 / (2.0 * D * (1.0 - nu)), 2.0, 1e-12, "plate");
    near(f.u / f.value, sqrt(0.04 + 0.045 * 0.045 + 0.01), 1e-12, "u");
}

Test(pull_flat, a_twist_that_is_not_seen_has_no_force)
{
    const struct bt_wood_value good = {.value = 800.0}, bad = {.value = NAN};
    const struct bt_measured twist = {2.0, 0.2, true}, unseen = {NAN, NAN, false};

    cr_expect(!bt_pull_twist(1200, 600, 22, &good, &unseen).seen);
    cr_expect(!bt_pull_twist(1200, 600, 22, &bad, &twist).seen);
    cr_expect(!bt_pull_twist(NAN, 600, 22, &good, &twist).seen);
    cr_expect(!bt_pull_twist(1200, 0, 22, &good, &twist).seen);
    cr_expect(isnan(bt_pull_twist(1200, 600, -1, &good, &twist).value));
}

/* By hand: 108.25 x 0.36 x 4 x 16 = 2494.08 N; in lb and inches 15700 x 0.36 x 4/25.4 x
 * 16/25.4 = 560.68 lbf = 2494.0 N. */
Test(pull_flat, a_wood_screw_pulls_out_by_the_handbook_formula)
{
    const struct bt_screw screw = {4.0, 16.0};
    const double force = bt_screw_pull_out(0.6, &screw);

    near(force, 2494.08, 1e-9, "ultimate");
    near(force, 15700.0 * 0.36 * 4.0 / 25.4 * 16.0 / 25.4 * 4.4482216, 0.1,
         "in pounds");
    /* 2850 G^2 D lb per inch, seen in a handbook of civil engineering formulas. */
    near(force / BT_SCREW_SAFETY, 2850.0 * 0.36 * 4.0 / 25.4 * 16.0 / 25.4 * 4.4482216,
         1.0, "design value");
    cr_expect(isnan(bt_screw_pull_out(NAN, &screw)));
    cr_expect(isnan(bt_screw_pull_out(0.0, &screw)));
    cr_expect(isnan(bt_screw_pull_out(0.6, &(struct bt_screw){NAN, 16.0})));
    cr_expect(isnan(bt_screw_pull_out(0.6, &(struct bt_screw){4.0, -1.0})));
}

/* Species of FPL-GTR-190, Table 5-3, from memory: white ash (G 0.60) 6.5 MPa, black
 * cherry (0.50) 3.9, red oak (0.63) 5.5; Douglas-fir (0.48) 2.3.  The functions are
 * within a quarter of each. */
Test(pull_flat, tension_across_the_grain_is_near_that_of_known_species)
{
    static const struct {
        const char *name;
        double gravity, strength;
        bool hardwood;
    } row[] = {{"white ash", 0.60, 6.5, true},
               {"black cherry", 0.50, 3.9, true},
               {"red oak", 0.63, 5.5, true},
               {"Douglas-fir", 0.48, 2.3, false}};

    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const double got = bt_pull_tension_strength(row[i].gravity, row[i].hardwood);
        cr_expect(fabs(got - row[i].strength) <= 0.25 * row[i].strength, "%s: %g",
                  row[i].name, got);
    }
    near(bt_pull_tension_strength(1.0, true), 10.1, 1e-12, "hardwood");
    near(bt_pull_tension_strength(1.0, false), 6.0, 1e-12, "softwood");
    cr_expect(isnan(bt_pull_tension_strength(NAN, true)));
    cr_expect(isnan(bt_pull_tension_strength(0.0, false)));
}

Test(pull_flat, is_judged_with_two_u_added_the_wood_first)
{
    const struct bt_pull p = {
        .screw = 100.0, .u_screw = 20.0, .stress = 0.5, .u_stress = 0.1};
    const struct bt_pull unsure = {
        .screw = 100.0, .u_screw = NAN, .stress = 0.5, .u_stress = 0.1};

    cr_expect_eq(bt_pull_judge(&p, 140.0, 0.7), BT_PULL_WORKS);
    cr_expect_eq(bt_pull_judge(&p, 139.0, 0.7), BT_PULL_SCREWS_TOO_WEAK);
    cr_expect_eq(bt_pull_judge(&p, 139.0, 0.69), BT_PULL_WOOD_TOO_WEAK);
    cr_expect_eq(bt_pull_judge(&p, NAN, 0.7), BT_PULL_SCREWS_TOO_WEAK);
    cr_expect_eq(bt_pull_judge(&p, 140.0, NAN), BT_PULL_WOOD_TOO_WEAK);
    cr_expect_eq(bt_pull_judge(&unsure, 1e9, 0.7), BT_PULL_SCREWS_TOO_WEAK);
    cr_expect_str_eq(bt_pull_verdict_text(BT_PULL_WORKS), "it works");
    cr_expect_str_eq(bt_pull_verdict_text(BT_PULL_SCREWS_TOO_WEAK),
                     "the screws hold less than that");
    cr_expect_str_eq(bt_pull_verdict_text(BT_PULL_WOOD_TOO_WEAK), "the wood may split");
    cr_expect_str_eq(bt_pull_verdict_text((enum bt_pull_verdict)9), "unknown verdict");
}
