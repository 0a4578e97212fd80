/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What `edges` says, of answers built by hand. */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/joint_text.h"
#include "report/edges_springs.h"
#include "report/joint_fixture.h"

#define DEGREE 0.017453292519943295

static const struct bt_text_options plain = {.system = BT_SYSTEM_MM};

static struct bt_buffer text_of(const struct joint_fixture *f)
{
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_edges_plan(&f->edges, &plain, &out), BT_OK);
    return out;
}

static void expect_text(const struct joint_fixture *f, const char *part)
{
    struct bt_buffer out = text_of(f);

    cr_expect_not_null(strstr(out.text, part), "no\n%s\nin\n%s", part, out.text);
    bt_buffer_clear(&out);
}

static void expect_no_text(const struct joint_fixture *f, const char *part)
{
    struct bt_buffer out = text_of(f);

    cr_expect_null(strstr(out.text, part), "'%s' in\n%s", part, out.text);
    bt_buffer_clear(&out);
}

static void expect_first_line(const struct joint_fixture *f, const char *line)
{
    struct bt_buffer out = text_of(f);
    const size_t n = strlen(line);

    cr_expect(strncmp(out.text, line, n) == 0 && out.text[n] == '\n',
              "the first line is not\n%s\nin\n%s", line, out.text);
    bt_buffer_clear(&out);
}

Test(edges_text, first_line_says_what_comes_out_and_to_mark_the_boards)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_first_line(&f,
                      "As marked: the panel comes out 0.12 mm hollow across the "
                      "width (cup). Next: write the marks on the boards and run the "
                      "edges in the order below.");
    joint_fixture_limit(&f, 1);
    expect_first_line(&f, "Within the limit: the panel comes out 0.12 mm hollow across "
                          "the width (cup), limit 1 mm. Next: write the marks on the "
                          "boards and run the edges in the order below.");
}

Test(edges_text, first_line_of_a_cup_over_its_limit_says_what_else_to_try)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.edges.section.cup = (struct bt_measured){-1.2, 0.15, true};
    joint_fixture_limit(&f, 0.5);
    expect_first_line(&f,
                      "Over the limit: the panel comes out 1.20 mm hollow across the "
                      "width (cup), limit 0.5 mm. Next: try --pattern best, or set "
                      "the fence and check it again.");
    f.edges.pattern = BT_PATTERN_BEST;
    expect_text(&f, "limit 0.5 mm. Next: set the fence and check it again, or free a "
                    "board of its rule.\n");
}

Test(edges_text, first_line_of_an_opening_says_where_and_what_the_glue_bridges)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.edges.opening.verdict = BT_OVER;
    expect_first_line(&f,
                      "Over the limit: joint 1 (boards 1 and 2) stands open by 0.02 "
                      "mm at the show face, the glue bridges 0.15 mm. Next: try "
                      "--pattern best, or set the fence and check it again.");
    f.edges.opening.verdict = BT_TOO_CLOSE;
    expect_first_line(&f,
                      "Too close to call: joint 1 (boards 1 and 2) stands open by "
                      "0.02 mm at the show face, the glue bridges 0.15 mm. Next: one "
                      "more check of the fence (benchtrue fence says which), then "
                      "run the edges as marked.");
    f.edges.setup.fence_read = false;
    expect_text(&f, "Next: check the fence and write fence.csv.\n");
}

Test(edges_text, first_line_names_the_dry_joint_that_is_open_and_how_to_mend_it)
{
    static const struct {
        int mend;
        const char *words;
    } rows[] = {
        {BT_MEND_ANGLE, "run both its edges again, each with the face of its mark to "
                        "the fence"},
        {BT_MEND_HOLLOW,
         "too hollow for the clamps: a pass off the ends of both edges"},
        {BT_MEND_CROWN,
         "crowned, a fault that clamps cannot cure: a pass off the middle "
         "of both edges until it touches at the ends"},
        {BT_MEND_WIND,
         "an edge is twisted: joint both again, the face kept against the "
         "fence from end to end"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct joint_fixture f;
        char line[512] = "Open: laid together dry joint 2 (boards 2 and 3) does not "
                         "close, the largest gap is 0.25 mm. Next: ";

        joint_fixture_init(&f);
        joint_fixture_dry(&f, BT_DRY_OPEN, BT_DRY_CLOSES);
        f.dry[1].fit.mend = (unsigned)rows[i].mend;
        strcat(line, rows[i].words);
        strcat(line, ".");
        expect_first_line(&f, line);
    }
}

Test(edges_text, first_line_names_dry_joints_that_are_open_to_doubt)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_dry(&f, BT_DRY_TOO_CLOSE, BT_DRY_CLOSES);
    expect_first_line(&f, "Too close to call: laid together dry joint 2 may or may not "
                          "close. Next: read it with thinner leaves, both faces, ends "
                          "and middle.");
    joint_fixture_dry(&f, BT_DRY_CLOSES, BT_DRY_NOT_SEEN);
    f.dry[0].fit.wind_verdict = BT_DRY_NOT_SEEN;
    expect_first_line(&f,
                      "Not seen: laid together dry joint 1, 2: whether it closes "
                      "cannot be told from these readings. Next: read both faces at "
                      "both ends and in the middle.");
}

Test(edges_text, first_line_of_a_pattern_against_the_rules_points_to_the_best)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.conflict[0] = (struct bt_edge_conflict){1, true, BT_CONFLICT_FACE, true};
    f.edges.plan.nconflict = 1;
    expect_first_line(&f, "Not as allowed: 1 edge of the pattern alternate boards "
                          "against the rules of boards.csv. Next: take --pattern best, "
                          "which keeps them.");
}

Test(edges_text, marks_stand_in_the_order_of_the_machine)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(
        &f, "  mark              to the fence  goes first  edge of\n"
            "  1 back: in        show face     left end    outside\n"
            "  1 front: in       show face     right end   joint 1\n"
            "  2 back: out       other face    right end   joint 1     turn the board "
            "over first\n"
            "  2 front: out      other face    left end    joint 2\n"
            "  3 back: in        show face     left end    joint 2\n"
            "  3 front: in       show face     right end   outside\n");
    f.job.fence.feed = BT_FEED_LEFT_TO_RIGHT;
    expect_text(&f, "  1 back: in        show face     right end   outside\n");
}

Test(edges_text, edges_against_the_grain_are_warned_of_at_their_mark_and_below)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_no_text(&f, "To look out for");
    f.conflict[0] = (struct bt_edge_conflict){2, true, BT_CONFLICT_GRAIN, false};
    f.edges.plan.nconflict = 1;
    expect_text(&f, "  3 front: in       show face     right end   outside     against "
                    "the grain\n");
    expect_text(&f, "\nTo look out for\n  - 3 front: in: against the grain: light cuts "
                    "and sharp knives, or it tears\n");
    f.conflict[0] = (struct bt_edge_conflict){1, false, BT_CONFLICT_GRAIN, true};
    expect_text(&f, "turn the board over first; against the grain\n");
    expect_text(&f, "  - 2 back: out: against the grain, which boards.csv does not "
                    "allow\n");
}

Test(edges_text, joints_tell_kink_opening_and_height_with_no_digit_too_many)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(
        &f, "  joint 1   0.05 deg      0.06      0.02 mm at the show face      0.03 "
            "   0.10 mm hollow\n"
            "  joint 2   0.02 deg      0.06      0.01 mm at the other face     0.03 "
            "   0.14 mm hollow\n"
            "  cup       0.12 mm hollow, u 0.15; under it boards stand out by up to "
            "0.2 mm\n");
}

Test(edges_text, scatter_and_forgotten_boards_are_told_worst_first)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f, "  Of 10000 draws of the edges' errors the cup is under 0.12 mm in "
                    "half and under 0.31 mm in 95 of 100;\n"
                    "  the largest opening under 0.028 mm and 0.061 mm.\n");
    expect_text(&f, "If one board is run with the other face, worst first\n"
                    "  board       cup                 largest opening\n"
                    "  2           0.71 mm hollow      0.12 mm\n"
                    "  3           0.44 mm crowned     0.11 mm\n"
                    "  1           0.41 mm crowned     0.11 mm\n");
}

Test(edges_text, a_dry_fit_is_split_into_angle_and_straightness)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_no_text(&f, "Dry fit");
    joint_fixture_dry(&f, BT_DRY_CLOSES, BT_DRY_OPEN);
    f.dry[1].fit.mend = BT_MEND_HOLLOW;
    expect_text(&f,
                "\nDry fit: what stands open, against 0.15 mm that the glue bridges\n"
                "  joint 1 (boards 1 and 2): 6 gaps read, the largest 0.25 mm\n"
                "    angle         0.056 mm (u 0.014) open at the show face        "
                "closes\n"
                "    along, ends   0.014 mm (u 0.010) at the ends, over the middle "
                "closes\n"
                "    along, middle 0.21 mm (u 0.02) hollow: touches at the ends    "
                "closes: the clamps close it\n"
                "    nothing to mend\n");
    expect_text(&f, "(u 0.02) hollow: touches at the ends    open\n    too hollow for "
                    "the clamps");
}

Test(edges_text, a_crown_is_called_a_fault_even_where_the_glue_would_bridge_it)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_dry(&f, BT_DRY_CLOSES, BT_DRY_CLOSES);
    expect_no_text(&f, "crowned, a fault");
    f.dry[0].fit.hollow = (struct bt_measured){-0.1, 0.02, true};
    expect_text(&f, "crowned: touches in the middle");
    expect_text(&f,
                "    crowned, a fault that clamps cannot cure: they only rock it\n");
    f.spring[0].read = true;
    f.spring[0].dry.crown = true;
    expect_text(&f, "over 3 mm      crowned\n");
}

Test(edges_text, springs_tell_aim_forces_and_what_the_clamps_close)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "\nSpring joint: the hollow to plane into both edges together (oak: "
                "mean of 9 species, two boards a joint; 3 clamps along it of 3000 "
                "N)\n");
    expect_text(&f,
                "  joint 1  0.79 mm           320 N        0.070 mm      210 N        "
                "over 3 mm\n");
    expect_text(&f,
                "  Closes most: over 3 mm is more than you would plane; there it is "
                "not the clamps that set the limit.\n");
    f.spring[0].aim.closes_most = f.spring[1].aim.closes_most = 2.4;
    expect_text(&f, "210 N        2.4 mm\n");
    expect_no_text(&f, "more than you would plane");
    f.edges.clamp_assumed = true;
    f.edges.clamp_force = NAN;
    f.spring[0].aim.closes_most = NAN;
    expect_text(&f, "two boards a joint; no clamps are planned: one at the middle)\n");
    expect_text(&f, "210 N        not known\n");
}

Test(edges_text, without_species_springs_say_which_key_to_write)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.edges.nspring = 0;
    strcpy(f.edges.spring_missing, "no species is stated: write species in [panel]");
    expect_text(&f, "\nSpring joint: not computed: no species is stated: write species "
                    "in [panel].\n");
    expect_no_text(&f, "aim");
}

Test(edges_text, a_fence_that_was_not_checked_is_said_to_be_taken_as_square)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "Fence:     0.120 deg more than square, u 0.012; benchtrue fence says "
                "more\n");
    f.edges.setup.fence_read = false;
    f.edges.setup.errors.e = 0;
    f.edges.setup.errors.u_e = BT_ASSUMED_U_FENCE;
    expect_text(&f,
                "Fence:     no check of it: taken as square, known to 0.1 deg (common "
                "practice, no source)\n");
}

Test(edges_text, a_search_that_ended_early_says_what_could_still_be_gained)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.edges.pattern = BT_PATTERN_BEST;
    expect_text(&f, "Pattern:   best, the best that the rules allow (gains below the "
                    "doubt count as none)\n");
    f.edges.plan.proven = false;
    f.edges.plan.cup_bound = 0.08;
    expect_text(&f, "Pattern:   best, the best found; none has a cup under 0.08 mm\n");
}

Test(edges_text, a_grain_that_is_not_known_is_told_where_the_board_stands)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_no_text(&f, "grain not known");
    f.rule[2].grain = BT_GRAIN_UNKNOWN;
    expect_text(&f, "joint 2     grain not known\n");
}

Test(edges_text, obeying_the_grain_is_told_by_what_it_costs)
{
    struct bt_board_run run[JOINT_BOARDS];
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.conflict[0] = (struct bt_edge_conflict){1, true, BT_CONFLICT_GRAIN, false};
    f.edges.plan.nconflict = 1;
    memcpy(run, f.run, sizeof run);
    run[1] = (struct bt_board_run){BT_RUN_IN, BT_RUN_IN, false};
    f.edges.grain = (struct bt_edges_grain){.asked = true, .found = true};
    f.edges.grain.plan.run = run;
    f.edges.grain.section.cup = (struct bt_measured){0.61, 0.15, true};
    f.edges.grain.section.largest_opening = 0.12;
    expect_text(&f, "  - with every known grain obeyed: cup 0.61 mm crowned instead of "
                    "0.12 mm hollow, largest opening 0.12 mm instead of 0.02 mm; run "
                    "the other way: 2\n");
    f.edges.grain.found = false;
    strcpy(f.edges.grain.none, "board 2: its rules leave no way");
    expect_text(&f, "  - no plan obeys every grain that is known: board 2: its rules "
                    "leave no way\n");
}

Test(edges_text, a_hollow_that_closes_says_what_closes_it)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_dry(&f, BT_DRY_CLOSES, BT_DRY_CLOSES);
    f.spring[0].read = true;
    f.spring[0].dry.force_planned = 56;
    f.spring[0].dry.hollow = 0.21;
    expect_text(&f, "closes: the clamps close it with 56 N at most each\n");
    f.dry[0].fit.hollow.value = 0.12;
    expect_text(&f, "closes: within what the glue bridges\n");
}

/* closes_most leaves the glue its gap, and the dry fit adds the gap again. */
Test(edges_text, the_gap_that_the_glue_bridges_counts_once)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    cr_expect(fabs(bt_edges_closes(&f.edges, 0) - (6.2 - 0.15)) <= 1e-12);
    f.spring[1].aim.closes_most = 0.1;
    cr_expect(fabs(bt_edges_closes(&f.edges, 1)) <= 0);
    f.spring[1].aim.closes_most = NAN;
    cr_expect(isnan(bt_edges_closes(&f.edges, 1)));
    cr_expect(isnan(bt_edges_closes(&f.edges, JOINT_JOINTS)));
}

Test(edges_text, checks_of_the_fence_that_contradict_each_other_are_told)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.edges.setup.fence.agree = BT_FENCE_DISAGREE;
    expect_text(&f, "more than square, u 0.012; the checks contradict each other, "
                    "benchtrue fence says which to take again\n");
}
