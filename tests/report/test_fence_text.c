/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What `fence` says, of answers built by hand. */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/joint_text.h"
#include "report/joint_fixture.h"

#define DEGREE 0.017453292519943295

static const struct bt_text_options plain = {.system = BT_SYSTEM_MM};

/* The text; to be cleared. */
static struct bt_buffer text_of(const struct joint_fixture *f,
                                const struct bt_text_options *options)
{
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_fence(&f->fence, options, &out), BT_OK);
    return out;
}

static void expect_text(const struct joint_fixture *f, const char *part)
{
    struct bt_buffer out = text_of(f, &plain);

    cr_expect_not_null(strstr(out.text, part), "no\n%s\nin\n%s", part, out.text);
    bt_buffer_clear(&out);
}

static void expect_no_text(const struct joint_fixture *f, const char *part)
{
    struct bt_buffer out = text_of(f, &plain);

    cr_expect_null(strstr(out.text, part), "'%s' in\n%s", part, out.text);
    bt_buffer_clear(&out);
}

static void expect_first_line(const struct joint_fixture *f, const char *line)
{
    struct bt_buffer out = text_of(f, &plain);
    const size_t n = strlen(line);

    cr_expect(strncmp(out.text, line, n) == 0 && out.text[n] == '\n',
              "the first line is not\n%s\nin\n%s", line, out.text);
    bt_buffer_clear(&out);
}

Test(fence_text, first_line_is_the_planned_cup_where_it_keeps_the_limit)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    expect_first_line(&f, "Within the limit: the fence stands 0.120 deg out of square, "
                          "leaning away from the table, and run as planned (alternate "
                          "boards) the panel comes out 0.12 mm hollow across the width "
                          "(cup), limit 1 mm. Next: benchtrue edges, for the mark of "
                          "each edge.");
}

Test(fence_text, first_line_tells_to_alternate_where_that_halves_a_cup_over_the_limit)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.fence.planned.pattern = BT_PATTERN_SAME_FACE;
    f.fence.planned.section.cup = f.fence.same.section.cup;
    joint_fixture_limit(&f, 0.3);
    expect_first_line(&f, "Over the limit: run as planned (same face) the panel comes "
                          "out 0.63 mm hollow across the width (cup), limit 0.3 mm. "
                          "Next: turn every other board's other face to the fence "
                          "(pattern = alternate boards), or set the fence and check "
                          "again.");
    f.fence.alternate.section.cup.value = -0.4;
    expect_text(&f, "limit 0.3 mm. Next: set the fence and check it again.\n");
}

Test(fence_text, first_line_asks_for_the_best_check_where_the_cup_is_too_close_to_call)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 0.2);
    expect_first_line(&f,
                      "Too close to call: run as planned (alternate boards) the "
                      "panel comes out 0.12 mm hollow across the width (cup), limit "
                      "0.2 mm. Next: one more check, a square on the table and "
                      "feelers at 800 mm from the infeed end.");
}

Test(fence_text, first_line_names_the_check_that_contradicts_the_others)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    f.fence.setup.fence.agree = BT_FENCE_DISAGREE;
    expect_first_line(&f, "Not seen: the fence stands 0.120 deg out of square, leaning "
                          "away from the table, u 0.012, but the checks contradict "
                          "each other. Next: take again the square at 380 mm "
                          "(fence.csv line 5), which fits the others least.");
    f.fence.setup.fence.worst = 2;
    f.check[2].station = NAN;
    expect_first_line(&f, "Not seen: the fence stands 0.120 deg out of square, leaning "
                          "away from the table, u 0.012, but the checks contradict "
                          "each other. Next: take again the angle gauge (fence.csv "
                          "line 6), which fits the others least.");
    f.fence.setup.fence.worst = JOINT_CHECKS;
    expect_first_line(&f, "Not seen: the fence stands 0.120 deg out of square, leaning "
                          "away from the table, u 0.012, but the checks contradict "
                          "each other. Next: take each check again.");
}

Test(fence_text, two_readings_of_a_gauge_that_do_not_go_together_are_pointed_out)
{
    const double degree = acos(0) / 90;
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    f.check[2].station = 800;
    f.check[2].reading = 91.5 * degree;
    f.check[2].turned = 86 * degree;
    f.check[2].u_reading = 0.03 * degree;
    f.check[2].u_own = 0.1 * degree;
    expect_text(&f,
                "  - The readings of the angle gauge at 800 mm (fence.csv line 6) do "
                "not go together: 91.50 deg and, turned, 86.00 deg.  Its own zero "
                "would be off by 1.25 deg, which is more than 0.20 deg (2 u of "
                "what is known of it).  Read it again.\n");
    f.check[2].turned = 88.7 * degree; /* off by 0.1 */
    out = text_of(&f, &plain);
    cr_expect_null(strstr(out.text, "do not go together"));
    bt_buffer_clear(&out);
}

Test(fence_text, without_boards_the_fence_itself_is_the_verdict)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.fence.boards_known = false;
    expect_first_line(&f, "Out of square: the fence stands 0.120 deg out of square, "
                          "leaning away from the table. Next: set it, or list the "
                          "boards in boards.csv to see what it makes of the panel.");
    expect_text(&f, "What it makes of the panel is not computed: write width and "
                    "thickness of each board in boards.csv.\n");
    expect_no_text(&f, "What it makes of 3 boards");
    f.fence.setup.fence.undecided = true;
    expect_first_line(&f, "Too close to call: the checks cannot tell this fence from a "
                          "square one, 0.120 deg with u 0.012. Next: one more check, a "
                          "square on the table and feelers at 800 mm from the infeed "
                          "end.");
}

Test(fence_text, boards_that_cannot_be_run_as_planned_are_told_with_the_reason)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.fence.planned.pattern = BT_PATTERN_BEST;
    expect_text(&f, "\n  best, as planned ");
    strcpy(f.fence.no_plan, "board 2: two rules exclude each other");
    expect_text(&f, "  - The boards cannot be run as planned: board 2: two rules "
                    "exclude each other.\n");
    expect_no_text(&f, "as planned ");
}

Test(fence_text, says_to_which_side_the_fence_leans)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f, "  at the cutter         0.120 deg   0.012     more than square: "
                    "light at the top of a square\n");
    f.fence.setup.fence.e.value = -0.12 * DEGREE;
    expect_text(&f, "  at the cutter         0.120 deg   0.012     less than square: "
                    "light at the foot of a square\n");
    expect_text(&f, "leaning over the table");
}

Test(fence_text, tells_each_station_and_each_kind_with_its_u)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f, "  at 100 mm             0.10 deg    0.02      more than square, 1 "
                    "check\n"
                    "  without a station     0.20 deg    0.02      less than square, 2 "
                    "checks\n"
                    "  by square alone       0.110 deg   0.013     more than square\n"
                    "  by angle alone        0.20 deg    0.10      more than square\n");
    expect_no_text(&f, "by doubled");
    expect_text(&f, "Read:      3 checks: 2 square, 1 angle\n"
                    "Their u:   2 from a pair of feelers, 1 from the resolution of the "
                    "instrument\n"
                    "Agreement: the checks agree as well as their uncertainty says\n");
}

Test(fence_text, a_twist_that_is_not_seen_says_what_to_read)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "  twist, end to end     0.04 deg    0.03      the outfeed end leans "
                "away more (nothing checks it)\n");
    f.fence.setup.fence.slope_dof = 1;
    expect_text(&f, "the outfeed end leans away more\n");
    f.fence.setup.fence.twist = (struct bt_measured){NAN, NAN, false};
    expect_text(&f,
                "  twist, end to end     not seen: read a square at both ends of the "
                "fence, 0 and 900 mm\n");
}

Test(fence_text, an_opening_too_small_to_see_is_a_cupped_top)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.kink[0].opening = (struct bt_measured){0.117, 0.03, true};
    expect_text(&f,
                "An opening too small to see in one joint is a cupped top: with the "
                "same face to the fence no joint opens more than 0.12 mm, and the "
                "top comes out 0.63 mm hollow.\n");
    f.kink[0].opening.value = 0.5;
    expect_text(&f, "  What opens one joint cups the whole top: with the same face");
    f.fence.same.section.cup.value = -0.2;
    expect_text(&f, "the error of every edge adds up; here it is no more than its "
                    "doubt.\n");
}

Test(fence_text, what_alternation_cannot_cancel_is_told_apart)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "    scatter from edge to edge                       -                 "
                "0.14\n"
                "    the fence's twist along its length              -                 "
                "0.04\n"
                "    taper of the boards                             0.05 mm hollow    "
                "0.03\n");
    expect_text(&f,
                "Edges:     scatter from edge to edge 0.03 deg (taken; common "
                "practice, no source: [fence] scatter), and 0.010 deg from the "
                "fence's twist\n"
                "Taper:     of a board known to 0.05 mm (taken; common practice, no "
                "source: [fence] taper_u)\n");
}

Test(fence_text, tenths_of_a_degree_are_no_proof_of_square)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    /* 0.06 mm of cup for 0.012 degrees */
    expect_text(&f, "  - An angle gauge that shows tenths of a degree is no proof of "
                    "square: here it is good to 0.20 deg (2 u), and with the same face "
                    "to the fence that is a cup of 1.0 mm.\n");
    f.fence.setup.fence.kind[BT_FENCE_ANGLE].e.u = 0.02 * DEGREE;
    expect_no_text(&f, "is no proof of square");
}

Test(fence_text, checks_that_cannot_decide_say_so_with_their_number)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_no_text(&f, "cannot decide");
    f.fence.setup.fence.undecided = true;
    f.fence.setup.fence.e = (struct bt_measured){0.02 * DEGREE, 0.03 * DEGREE, true};
    expect_text(&f, "  - These checks cannot decide whether the fence is square: 0.02 "
                    "deg is less than 2 u = 0.060 deg.\n");
    expect_text(&f,
                "  - What would tell most: a square on the table and feelers at 800 "
                "mm from the infeed end; u then 0.009 deg, now 0.03.\n");
}

Test(fence_text, cautions_stand_once_and_defer_to_the_manual)
{
    struct joint_fixture f;
    struct bt_buffer out;
    const char *cautions;

    joint_fixture_init(&f);
    out = text_of(&f, &plain);
    cautions = strstr(out.text, "\nCautions\n");
    cr_assert_not_null(cautions);
    cr_expect_null(strstr(cautions + 1, "\nCautions\n"));
    cr_expect_not_null(strstr(cautions, "manual"));
    cr_expect_not_null(strstr(cautions, "local codes"));
    bt_buffer_clear(&out);
}

Test(fence_text, inches_are_printed_where_they_are_asked_for)
{
    const struct bt_text_options inches = {.system = BT_SYSTEM_IN};
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    out = text_of(&f, &inches);
    cr_expect_not_null(strstr(out.text, "comes out 5 thou hollow"), "%s", out.text);
    cr_expect_not_null(strstr(out.text, "u, thou"));
    cr_expect_not_null(strstr(out.text, " in from the infeed end"));
    cr_expect_null(strstr(strstr(out.text, "What it makes"), " mm wide"));
    bt_buffer_clear(&out);
}

Test(fence_text, details_tell_scatter_and_degrees_of_freedom)
{
    const struct bt_text_options details = {.details = true};
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    expect_no_text(&f, "degrees of freedom");
    out = text_of(&f, &details);
    cr_expect_not_null(strstr(out.text, "  between stations      0 deg\n"
                                        "  degrees of freedom    2\n"
                                        "  chance of a worse agreement  52 %\n"),
                       "%s", out.text);
    bt_buffer_clear(&out);
    f.fence.setup.fence.scatter = NAN;
    f.fence.setup.fence.chi2_p = NAN;
    out = text_of(&f, &details);
    cr_expect_not_null(strstr(out.text, "  between stations      not seen\n"));
    cr_expect_not_null(strstr(out.text, "agreement  none\n"));
    bt_buffer_clear(&out);
}

Test(fence_text, verdicts_are_coloured_only_where_that_is_asked_for)
{
    const struct bt_text_options colour = {.colour = true};
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    expect_no_text(&f, "\x1b[");
    out = text_of(&f, &colour);
    cr_expect(strncmp(out.text, "\x1b[1;32mWithin the limit\x1b[0m: ", 25) == 0);
    bt_buffer_clear(&out);
}
