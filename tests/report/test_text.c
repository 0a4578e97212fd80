/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/text.h"
#include "report/fixture.h"

static const struct bt_text_options plain = {.system = BT_SYSTEM_MM, .nset = 1};

/* The text, in a buffer that the caller clears. */
static struct bt_buffer written(const struct fixture *f,
                                const struct bt_text_options *options)
{
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_flatness(&f->result, options, &out), BT_OK);
    return out;
}

static void expect_first_line(const struct fixture *f, const char *want)
{
    struct bt_buffer out = written(f, &plain);
    size_t length = strcspn(out.text, "\n");

    cr_expect(length == strlen(want) && strncmp(out.text, want, length) == 0,
              "got  '%.*s'\nwant '%s'", (int)length, out.text, want);
    bt_buffer_clear(&out);
}

static void expect_holds(const struct fixture *f, const struct bt_text_options *options,
                         const char *want, bool there)
{
    struct bt_buffer out = written(f, options);

    cr_expect_eq(strstr(out.text, want) != NULL, there, "%s '%s' in:\n%s",
                 there ? "no" : "unwanted", want, out.text);
    bt_buffer_clear(&out);
}

Test(text, begins_with_what_is_over_and_where_to_take_wood_off)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    fixture_limit(&f, BT_FIGURE_BOW, 1.5);
    expect_first_line(&f,
                      "Over the limit: hollow 1.23 mm across the width (cup), limit 1 "
                      "mm. Next: wait until it rests (benchtrue decide says how long), "
                      "then take down the back and front edges.");
}

Test(text, names_every_figure_that_is_over_and_acts_on_the_worst)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.4);
    expect_first_line(
        &f, "Over the limit: hollow 1.23 mm across the width (cup), limit 1 mm; "
            "twist 0.85 mm (A and C high), limit 0.4 mm. Next: wait until it "
            "rests (benchtrue decide says how long), then take down corners A and C.");
}

Test(text, says_where_wood_stands_high_for_each_figure_and_sign)
{
    static const struct {
        enum bt_figure figure;
        double value;
        const char *want;
    } rows[] = {
        {BT_FIGURE_CUP, 2, "take down the middle, all along its length"},
        {BT_FIGURE_CUP, -2, "take down the back and front edges"},
        {BT_FIGURE_BOW, 2, "take down the middle, across the whole width"},
        {BT_FIGURE_BOW, -2, "take down the left and right ends"},
        {BT_FIGURE_TWIST, 2, "take down corners A and C"},
        {BT_FIGURE_TWIST, -2, "take down corners B and D"},
        {BT_FIGURE_RANGE, 2, "take down the highest spot, at x 0 mm, y 0 mm"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fixture f;
        struct bt_measured *m;

        fixture_init(&f);
        m = (struct bt_measured *)bt_set_figure(&f.result, rows[i].figure);
        m->value = rows[i].value;
        fixture_limit(&f, rows[i].figure, 0.5);
        expect_holds(&f, &plain, rows[i].want, true);
    }
}

Test(text, says_so_when_every_limit_is_kept)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_BOW, 1.5);
    expect_first_line(&f,
                      "Within every limit: crowned 0.31 mm along the length (bow), "
                      "limit 1.5 mm. Next: nothing to do, the panel is flat enough as "
                      "it is.");
    expect_holds(&f, &plain, "What to do", false);
}

Test(text, asks_for_more_or_finer_readings_where_it_is_too_close)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.85);
    expect_first_line(&f,
                      "Too close to call: twist 0.85 mm (A and C high), limit 0.85 mm. "
                      "Next: read both diagonals again, at more places or with feelers "
                      "of finer steps.");
    expect_holds(&f, &plain,
                 "  - twist is too close to call: read both diagonals again", true);
}

Test(text, says_which_line_to_read_where_twist_is_not_seen)
{
    struct fixture f;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_TWIST);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.8);
    f.result.flatness.nunseen = 1;
    f.result.flatness.unseen[0] =
        (struct bt_unseen){.kind = BT_UNSEEN_TWIST, .count = 1};
    expect_first_line(
        &f, "Not seen: twist cannot be told from these readings. Next: read "
            "both diagonals, from A to C and from B to D, with the place where they "
            "cross.");
    expect_holds(&f, &plain, "  - twist is not seen: read both diagonals, from A to C",
                 true);
    expect_holds(&f, &plain, "  twist   not seen", true);
    expect_holds(&f, &plain, "nan", false);
}

Test(text, says_what_to_read_where_no_shape_has_a_name)
{
    struct fixture f;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_CUP);
    fixture_limit(&f, BT_FIGURE_CUP, 1);
    expect_first_line(&f,
                      "Not seen: cup cannot be told from these readings. Next: read "
                      "places at the back edge, the middle and the front edge, on "
                      "lines across the width.");
}

Test(text, words_every_unseen_shape_with_what_to_read)
{
    static const struct {
        struct bt_unseen unseen;
        const char *want;
    } rows[] = {
        {{.kind = BT_UNSEEN_BOW}, "  - bow is not seen: read a line along the length"},
        {{.kind = BT_UNSEEN_CUP}, "  - cup is not seen: read a line across the width"},
        {{.kind = BT_UNSEEN_BOWL},
         "  - bowl (the same curve along and across) is not seen"},
        {{.kind = BT_UNSEEN_HINGE_X, .at = 400},
         "  - a hinge along x = 400 mm is not seen: read a line along the length that "
         "crosses x = 400 mm"},
        {{.kind = BT_UNSEEN_HINGE_Y, .at = 150},
         "  - a hinge along y = 150 mm is not seen: read a line across the width that "
         "crosses y = 150 mm"},
        {{.kind = BT_UNSEEN_X2Y},
         "  - bow that changes across the width is not seen: read "
         "lines along the length at the back edge"},
        {{.kind = BT_UNSEEN_XY2},
         "  - cup that changes along the length is not seen: read "
         "lines across the width at the left end"},
        {{.kind = BT_UNSEEN_POINTS, .nmoving = 1, .example = {4}},
         "  - the height at x 400 mm, y 150 mm is not seen: read one more line"},
        {{.kind = BT_UNSEEN_POINTS, .nmoving = 5, .example = {0, 1, 2}},
         "  - the heights at x 0 mm, y 0 mm; x 400 mm, y 0 mm; x 800 mm, y 0 mm; and 2 "
         "more "
         "are not seen: read one more line"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fixture f;

        fixture_init(&f);
        f.result.flatness.nunseen = 1;
        f.result.flatness.unseen[0] = rows[i].unseen;
        expect_holds(&f, &plain, rows[i].want, true);
    }
}

Test(text, judges_nothing_without_limits)
{
    struct fixture f;

    fixture_init(&f);
    expect_first_line(
        &f,
        "No limit is stated, so nothing is judged: hollow 1.23 mm across the width "
        "(cup); crowned 0.31 mm along the length (bow); twist 0.85 mm (A and C high). "
        "Next: state limits in job.ini, such as [limits] use = table top.");
    f.set.line = 0;
    expect_holds(&f, &plain,
                 "a job folder (benchtrue new DIR) holds limits of your own.\n", true);
    expect_holds(&f, &plain, "verdict", false);
}

Test(text, names_file_and_date_and_that_it_is_the_latest)
{
    struct bt_text_options options = plain;
    struct fixture f;

    fixture_init(&f);
    options.nset = 2;
    expect_holds(
        &f, &options,
        "\nCherry shelf\nSet:       after glue-up, 2026-03-02, the latest of 2 "
        "(--all shows every one)\nFile:      readings.csv\n",
        true);
    options.chosen = true;
    expect_holds(&f, &options, "the latest", false);
    f.set.date[0] = '\0';
    expect_holds(&f, &options, "after glue-up, undated\n", true);
}

Test(text, says_what_was_read_and_where_its_uncertainty_comes_from)
{
    struct fixture f;

    fixture_init(&f);
    f.set.blank = 3;
    f.set.skipped = 1;
    expect_holds(
        &f, &plain,
        "Read:      9 gaps under a straightedge at 9 places; 3 left blank; 1 left "
        "out as asked\n"
        "Their u:   6 from a pair of feelers, 3 from the last digit typed in the "
        "column\n",
        true);
}

Test(text, says_how_well_the_readings_agree_in_plain_words)
{
    static const struct {
        double agreement;
        size_t dof;
        const char *want;
    } rows[] = {
        {0.4, 2, "agree as well as their uncertainty says\n"},
        {0.001, 2, "differ from each other more than their uncertainty says"},
        {0.999, 2, "agree better than their uncertainty says"},
        {NAN, 0, "not known: no reading checks another, so a slip would not show\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fixture f;

        fixture_init(&f);
        f.result.flatness.agreement = rows[i].agreement;
        f.net.dof = rows[i].dof;
        expect_holds(&f, &plain, rows[i].want, true);
    }
}

Test(text, keeps_sigma0_and_rank_for_details)
{
    struct bt_text_options options = plain;
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_TWIST, 0.8);
    expect_holds(&f, &plain, "sigma0", false);
    expect_holds(&f, &plain, "rank", false);
    expect_holds(&f, &plain, "within)", false);
    options.details = true;
    expect_holds(&f, &options, "  sigma0                        1.06\n", true);
    expect_holds(&f, &options, "  rank                          7\n", true);
    expect_holds(&f, &options, "too close to call (11 % within)", true);
    f.net.sigma0 = NAN;
    expect_holds(&f, &options, "  sigma0                        none\n", true);
}

Test(text, prints_each_figure_with_its_word_u_limit_and_verdict)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    expect_holds(&f, &plain,
                 "  cup     1.23 mm hollow                0.05     1 mm       over\n",
                 true);
    expect_holds(&f, &plain, "  twist   0.85 mm A and C high          0.04\n", true);
    expect_holds(&f, &plain, "  range   1.90 mm                       0.06\n", true);
}

Test(text, prints_no_digit_that_the_uncertainty_does_not_carry)
{
    struct fixture f;

    fixture_init(&f);
    f.result.flatness.form.cup.u = 0.3;
    expect_holds(&f, &plain, "hollow 1.2 mm across", true);
    expect_holds(&f, &plain, "1.23", false);
}

Test(text, speaks_thou_where_the_job_is_in_inches)
{
    struct bt_text_options options = plain;
    struct fixture f;

    fixture_init(&f);
    options.system = BT_SYSTEM_IN;
    fixture_limit(&f, BT_FIGURE_CUP, 25.4 / 32);
    /* 1.234 mm is 48.58 thou; u of 0.05 mm is 1.97 thou, whose first digit is 1. */
    expect_holds(&f, &options,
                 "hollow 48.6 thou across the width (cup), limit 31.3 thou", true);
    expect_holds(&f, &options, " mm", false);
}

Test(text, names_suspects_by_file_and_line_and_asks_to_check_them_first)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    f.result.flatness.nsuspect = 1;
    f.result.flatness.suspect[0] = (struct bt_suspect){4, 0.214, 4.4, 0.001};
    expect_holds(
        &f, &plain,
        "Next: check the reading at readings.csv:6, which does not fit the others.",
        true);
    expect_holds(&f, &plain,
                 "  - readings.csv:6 is suspect: it reads 0.21 mm more than the others "
                 "lead to expect. Read it again, or see what it changes: --without "
                 "readings.csv:6\n",
                 true);
    expect_holds(&f, &plain, "one of them may be right", false);
}

Test(text, says_so_where_two_readings_are_equally_suspect)
{
    struct fixture f;

    fixture_init(&f);
    f.result.flatness.nsuspect = 2;
    f.result.flatness.suspect[0] = (struct bt_suspect){4, 0.2, 4.4, 0.001};
    f.result.flatness.suspect[1] = (struct bt_suspect){5, -0.2, -4.4, 0.001};
    expect_holds(&f, &plain, "readings.csv:6 is suspect: it reads 0.20 mm more", true);
    expect_holds(&f, &plain, "readings.csv:7 is suspect: it reads 0.20 mm less", true);
    expect_holds(&f, &plain, "(others here are as suspect; one of them may be right)",
                 true);
}

Test(text, gives_the_misfit_of_a_slope_per_metre)
{
    struct fixture f;

    fixture_init(&f);
    f.obs[4].kind = BT_READ_SLOPE;
    f.obs[4].u = 0.00005;
    f.result.flatness.nsuspect = 1;
    f.result.flatness.suspect[0] = (struct bt_suspect){4, 0.0005, 4.4, 0.001};
    expect_holds(&f, &plain, "it reads 0.50 mm per m more", true);
}

Test(text, asks_to_read_again_without_clamps)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    f.set.clamps = 1;
    expect_holds(&f, &plain, "Next: take the clamps off and read again.\n", true);
}

Test(text, cautions_before_wood_is_taken_off_and_only_then)
{
    struct fixture f;

    fixture_init(&f);
    expect_holds(&f, &plain, "its manual and its guards come first", false);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    expect_holds(&f, &plain, "its manual and its guards come first", true);
    expect_holds(&f, &plain, "a panel fresh from the glue still moves", true);
}

Test(text, is_the_same_words_with_and_without_colour)
{
    struct bt_text_options options = plain;
    struct bt_buffer out;
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_CUP, 1.0);
    expect_holds(&f, &plain, "\x1b", false);
    options.colour = true;
    out = written(&f, &options);
    cr_expect(strncmp(out.text, "\x1b[1;31mOver the limit\x1b[0m: ", 26) == 0);
    cr_expect_not_null(strstr(out.text, "\x1b[1;31mover\x1b[0m\n"));
    bt_buffer_clear(&out);
}

Test(text, says_which_face_was_read_where_it_is_the_bottom)
{
    struct fixture f;

    fixture_init(&f);
    expect_holds(&f, &plain, "Face:", false);
    f.set.face = BT_FACE_BOTTOM;
    expect_holds(&f, &plain, "Face:      bottom, seen as it was read", true);
}

Test(text, lets_no_name_from_a_file_move_the_cursor)
{
    static char evil[] = "shelf\x1b[2J";
    struct fixture f;

    fixture_init(&f);
    f.job.title = evil;
    f.set.name = evil;
    f.file[0] = evil;
    expect_holds(&f, &plain, "\x1b", false);
}

Test(text, says_what_the_straightedge_shows_and_where)
{
    struct fixture f;
    struct bt_text_options details = plain;

    details.details = true;
    fixture_init(&f);
    expect_holds(&f, &plain,
                 "\n  local   1.22 mm under 800 mm          0.06\n"
                 "          1.05 to 1.38 mm\n"
                 "          across, deepest at x 0 mm, y 150 mm\n",
                 true);
    expect_holds(&f, &plain, "on diagonal", false);
    expect_holds(&f, &details,
                 "          along: 0.13 mm\n          across: 1.22 mm\n"
                 "          on diagonal AC: not seen\n",
                 true);
    fixture_limit(&f, BT_FIGURE_LOCAL, 1.5);
    expect_holds(&f, &plain, "0.06     1.5 mm     within\n", true);
    expect_first_line(&f,
                      "Within every limit: gap 1.22 mm under 800 mm, across (local), "
                      "limit 1.5 mm. Next: nothing to do, the panel is flat enough "
                      "as it is.");
}

Test(text, acts_on_what_the_straightedge_rests_on_where_its_gap_is_over)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_LOCAL, 0.4);
    expect_first_line(&f,
                      "Over the limit: gap 1.22 mm under 800 mm, across (local), "
                      "limit 0.4 mm. Next: wait until it rests (benchtrue decide says "
                      "how long), then take down what "
                      "the straightedge rests on, at x 0 mm, y 0 mm and x 0 mm, y 300 "
                      "mm.");
}

Test(text, acts_on_the_upper_contacts_where_the_zone_is_over)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_ZONE, 0.4);
    expect_first_line(&f, "Over the limit: zone 1.86 mm, between two parallel planes, "
                          "limit 0.4 mm. Next: wait until it rests (benchtrue decide "
                          "says how long), then take down the "
                          "high spots at x 0 mm, y 0 mm and x 800 mm, y 300 mm.");
}

Test(text, reads_the_line_of_the_largest_gap_again_where_it_is_too_close)
{
    struct fixture f;

    fixture_init(&f);
    fixture_limit(&f, BT_FIGURE_LOCAL, 1.22);
    expect_first_line(&f,
                      "Too close to call: gap 1.22 mm under 800 mm, across (local), "
                      "limit 1.22 mm. Next: read the line across through x 0 mm, y "
                      "150 mm again, at more places or with feelers of finer "
                      "steps.");
}

Test(text, names_the_angle_of_the_oblique_line_to_read_finer)
{
    struct bt_edge_figure *oblique;
    struct fixture f;

    fixture_init(&f);
    oblique = &f.result.extremes.edge[f.result.extremes.nedge++];
    f.result.ndirection = 1;
    f.result.direction[0] = 3.14159265358979323846 / 6;
    *oblique = f.result.extremes.edge[BT_EDGE_ACROSS];
    oblique->at.direction = BT_EDGE_OBLIQUE;
    oblique->at.angle = f.result.direction[0];
    oblique->gap.value = oblique->at.worst.gap = 1.3;
    f.result.local = oblique->gap;
    fixture_limit(&f, BT_FIGURE_LOCAL, 1.3);
    expect_first_line(&f,
                      "Too close to call: gap 1.30 mm under 800 mm, oblique at 30 deg "
                      "(local), limit 1.3 mm. Next: read the line oblique at 30 deg "
                      "through x 0 mm, y 150 mm again, at more places or with "
                      "feelers of finer steps.");
    expect_holds(&f, &plain,
                 "\n          oblique at 30 deg, deepest at x 0 mm, y 150 mm\n", true);
}

Test(text, asks_for_places_near_enough_where_a_local_limit_sees_nothing)
{
    struct fixture f;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_LOCAL);
    f.result.extremes.edge[BT_EDGE_ALONG].gap.seen = false;
    f.result.extremes.edge[BT_EDGE_ALONG].at.lines = 3;
    f.result.extremes.edge[BT_EDGE_ACROSS].at.lines = 3;
    fixture_limit(&f, BT_FIGURE_LOCAL, 2);
    expect_first_line(&f, "Not seen: local cannot be told from these readings. Next: "
                          "read lines along the length with places no farther apart "
                          "than 400 mm.");
    expect_holds(&f, &plain, "deepest at x 0 mm, y 150 mm; not seen along\n", true);
    expect_holds(&f, &plain, "  - local is not seen: read lines along the length",
                 true);
}

/* Nobody asked for it, and most panels are read at places farther apart. */
Test(text, keeps_silent_about_a_default_straightedge_that_sees_nothing)
{
    struct fixture f;

    fixture_init(&f);
    fixture_hide(&f, BT_FIGURE_LOCAL);
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
        f.result.extremes.edge[d].gap.seen = false;
    f.result.extremes.any[0] = (struct bt_sure){NAN, NAN, NAN, 0, {NAN, NAN}};
    expect_holds(&f, &plain, "local", false);
    f.result.span_asked = true;
    expect_holds(&f, &plain, "\n  local   not seen under 800 mm\n", true);
}

Test(text, says_how_sure_a_largest_figure_is_and_what_noise_alone_would_show)
{
    struct fixture f;
    struct bt_text_options inches = plain;

    inches.system = BT_SYSTEM_IN;
    fixture_init(&f);
    expect_holds(&f, &plain,
                 "  range   1.90 mm                       0.06\n"
                 "          1.72 to 2.08 mm\n"
                 "  zone    1.86 mm between planes        0.05\n"
                 "          1.70 to 2.02 mm\n",
                 true);
    expect_holds(&f, &plain,
                 "  noise adds to these: a panel without any fault, read like this, "
                 "would show\n     range 0.130 mm, zone 0.120 mm\n",
                 true);
    expect_holds(&f, &inches, "          68 to 82 thou\n", true);
    f.result.span_asked = true;
    expect_holds(&f, &plain, "range 0.130 mm, zone 0.120 mm, local 0.087 mm\n", true);
    fixture_hide(&f, BT_FIGURE_ZONE);
    expect_holds(&f, &plain, "  zone    not seen\n  local", true);
    expect_holds(&f, &plain, "     range 0.130 mm, local 0.087 mm\n", true);
    fixture_hide(&f, BT_FIGURE_RANGE);
    fixture_hide(&f, BT_FIGURE_LOCAL);
    expect_holds(&f, &plain, "noise adds", false);
}

Test(text, says_at_which_confidence_a_largest_figure_is_told)
{
    struct fixture f;

    fixture_init(&f);
    expect_holds(&f, &plain,
                 "and between two values below a figure at least as often\n", true);
    f.job.limits.confidence = 0.999;
    f.result.extremes.width_sure.asked = (struct bt_interval){1.55, 2.17};
    expect_holds(&f, &plain,
                 "  zone    1.86 mm between planes        0.05\n"
                 "          1.55 to 2.17 mm\n",
                 true);
    expect_holds(&f, &plain,
                 "and between two values below a figure in at least 99.9 % of\n"
                 "     all cases, the confidence asked for\n"
                 "  2000 draws of the noise are few for 99.9 %: take --draws 10000\n",
                 true);
    f.result.extremes.range_sure.draws = 10000;
    expect_holds(&f, &plain, "are few", false);
    f.result.extremes.range_sure.draws = 1000000;
    f.job.limits.confidence = 0.999999;
    expect_holds(&f, &plain,
                 "  1000000 draws of the noise are few for 99.9999 %, but no more are "
                 "drawn: the two values are not steady\n",
                 true);
}

Test(text, says_that_lines_are_longer_than_their_straightedge)
{
    struct fixture f;

    fixture_init(&f);
    expect_holds(&f, &plain, "Too long", false);
    f.set.too_long = 1;
    expect_holds(
        &f, &plain,
        "Too long:  1 line is longer than the straightedge: it was not read in "
        "one placement (check names it)\n",
        true);
    f.set.too_long = 2;
    expect_holds(&f, &plain,
                 "Too long:  2 lines are longer than the straightedge: they were not "
                 "read in one placement (check names them)\n",
                 true);
}

Test(text, says_no_gap_where_no_place_stands_under_an_edge)
{
    struct fixture f;

    fixture_init(&f);
    for (int d = 0; d < BT_EDGE_DIRECTIONS; d++)
        f.result.extremes.edge[d].gap.value = 0;
    f.result.local.value = f.result.local.u = 0;
    f.result.extremes.any[0] = (struct bt_sure){0, 0.166, 0.0871, 2000, {0, 0.166}};
    expect_holds(
        &f, &plain,
        "\n  local   no gap under 800 mm\n          0.00 to 0.17 mm\n  u: ", true);
}

Test(text, says_whether_the_cup_sits_in_the_joints)
{
    static const struct {
        enum bt_facets_preferred preferred;
        const char *want, *advice;
    } rows[] = {
        {BT_FACETS_FACETED,
         "Joints:    flat boards with kinks between them: the cup sits in the joints\n"
         "           largest kink at joint 2, y 200 mm: 0.31 deg hollow\n",
         "check the fence before the next glue-up"},
        {BT_FACETS_SMOOTH,
         "Joints:    one smooth curve: the cup does not sit in the joints\n",
         "so the boards bent"},
        {BT_FACETS_TOO_CLOSE,
         "Joints:    whether the cup sits in the joints or is one smooth curve is too "
         "close to call\n           largest kink at joint 2",
         NULL},
        {BT_FACETS_NOT_SEEN,
         "Joints:    whether the cup sits in the joints is not seen: that takes lines",
         NULL},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct fixture f;

        fixture_init(&f);
        expect_holds(&f, &plain, "Joints:", false);
        fixture_joints(&f, rows[i].preferred);
        expect_holds(&f, &plain, rows[i].want, true);
        fixture_limit(&f, BT_FIGURE_CUP, 1.0);
        if (rows[i].advice) {
            expect_holds(&f, &plain, rows[i].advice, true);
        } else {
            expect_holds(&f, &plain, "check the fence", false);
            expect_holds(&f, &plain, "boards bent", false);
        }
    }
}

Test(text, lists_every_kink_and_contact_with_details)
{
    struct bt_text_options details = plain;
    struct fixture f;

    details.details = true;
    fixture_init(&f);
    fixture_joints(&f, BT_FACETS_NOT_SEEN);
    expect_holds(&f, &details,
                 "  joint 1 at y 100 mm         0.10 deg crowned   u 0.02 deg\n"
                 "  joint 2 at y 200 mm         not seen\n",
                 true);
    expect_holds(&f, &details,
                 "  zone rests on                 x 0 mm, y 0 mm (upper)\n"
                 "                                x 800 mm, y 300 mm (upper)\n"
                 "                                x 0 mm, y 150 mm (lower)\n",
                 true);
}
