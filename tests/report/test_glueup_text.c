/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What `glueup` says, of answers built by hand. */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/joint_text.h"
#include "report/joint_fixture.h"

static const struct bt_text_options plain = {.system = BT_SYSTEM_MM};

static struct bt_buffer text_of(const struct joint_fixture *f,
                                const struct bt_text_options *options)
{
    struct bt_buffer out = {0};

    cr_assert_eq(bt_text_glueup(&f->glueup, options, &out), BT_OK);
    return out;
}

static void expect_text(const struct joint_fixture *f, const char *part)
{
    struct bt_buffer out = text_of(f, &plain);

    cr_expect_not_null(strstr(out.text, part), "no\n%s\nin\n%s", part, out.text);
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

Test(glueup_text, first_line_says_that_it_is_enough_and_where_to_begin)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_first_line(&f, "Enough: 3 clamps in 2 stages. Next: glue joint 2 first.");
    f.glueup.plan.nstage = 1;
    f.stage[0].count = 2;
    expect_first_line(&f, "Enough: 3 clamps in 1 stage. Next: glue joints 2, 1.");
}

Test(glueup_text, first_line_says_what_is_missing_and_what_is_there_is_good_for)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.plan.shortfall = 4;
    f.glueup.plan.needed = 7;
    expect_first_line(&f, "Clamps fall short: 7 are needed for a joint, 4 are missing; "
                          "the 3 there reach 0.230 MPa, under the handbook's 0.69 MPa "
                          "to 1.70 MPa. Next: borrow them, or wider cauls, which "
                          "spread each clamp further.");
    f.glueup.plan.caul_spread = 112;
    expect_text(&f, "borrow them, or cauls 112 mm wide, which spread each clamp "
                    "further.\n");
    expect_text(&f, "too wide for the 45 degree spread: cauls 112 mm wide or more cure "
                    "it\n");
    f.glueup.plan.needed_force = 7;
    f.glueup.plan.pressure_reached = NAN;
    expect_first_line(&f, "Clamps fall short: 7 are needed for a joint, 4 are missing. "
                          "Next: borrow them, or stronger ones: force is what is "
                          "missing.");
    f.glueup.too_cold = true;
    f.glueup.temperature = 8;
    expect_first_line(&f, "Too cold: the shop has 8 C, the glue wants 10 C or more. "
                          "Next: warm shop and wood, or another glue.");
}

Test(glueup_text, clamps_that_cannot_be_set_in_time_are_told_before_they_are_borrowed)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.plan.needed = f.glueup.plan.needed_force = 25;
    f.glueup.plan.shortfall = 22;
    f.glueup.plan.minutes_needed = 13.5;
    f.glueup.plan.in_time = 18;
    f.glueup.plan.pressure_in_time = 1.38;
    expect_first_line(&f,
                      "Open time too short: to spread one joint and set the 25 clamps "
                      "needed takes 14 min, the glue stays open 10 min, and 22 of them "
                      "are missing. Next: a slower glue, a cooler shop, a helper, or "
                      "fewer clamps at lower pressure: the 18 that can be set in time "
                      "reach 1.38 MPa, within the handbook's 0.69 MPa to 1.70 MPa.");
    expect_text(&f, "  for a joint, all its clamps   14 min with the 25 needed; 18 can "
                    "be set in time\n");
    f.glueup.plan.in_time = 0;
    f.glueup.plan.shortfall = 0;
    f.glueup.plan.open_time_short = true;
    expect_first_line(&f,
                      "Open time too short: to spread one joint and set the 25 clamps "
                      "needed takes 14 min, the glue stays open 10 min. Next: a slower "
                      "glue, a cooler shop, a helper, or fewer clamps at lower "
                      "pressure.");
}

Test(glueup_text, clamps_too_short_for_the_panel_are_called_so)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.plan.too_short = 2;
    f.glueup.plan.opening_needed = 365;
    f.glueup.plan.shortfall = 2;
    f.glueup.request.caul = 30;
    expect_first_line(&f, "Clamps too short: 2 of the 3 owned do not open the 365 mm "
                          "of the panel with its cauls; 3 are needed for a joint, 2 "
                          "are missing. Next: longer ones, or extend the bars.");
    expect_text(&f, "  owned                         3, of which 2 are too short for "
                    "365 mm, fewer than needed: ");
}

Test(glueup_text, hundreds_of_clamps_missing_are_a_slip_in_the_input)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.plan.needed = f.glueup.plan.needed_force = 403;
    f.glueup.plan.shortfall = 400;
    f.glueup.plan.minutes_needed = 202;
    f.glueup.plan.pressure_reached = NAN;
    f.glueup.request.thickness = 2800;
    f.glueup.request.length = 1400;
    expect_first_line(&f, "Clamps fall short: 403 are needed for a joint, 400 are "
                          "missing. Next: the input looks wrong: check the thickness "
                          "(2800 mm), the length (1400 mm) and the force of the "
                          "clamps.");
}

Test(glueup_text, first_line_says_which_section_to_write)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.open_time.value = NAN;
    expect_first_line(&f, "Not seen: a joint needs 3 clamps; for how many joints the "
                          "glue stays open is not known. Next: write kind in [glue] of "
                          "job.ini.");
    f.job.nclamp = 0;
    expect_first_line(&f,
                      "Not seen: a joint needs 3 clamps; whether yours do is not "
                      "known. Next: write a [clamp NAME] section in job.ini for each "
                      "kind you own.");
}

Test(glueup_text, first_line_stops_at_an_opening_that_the_glue_does_not_bridge)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.glueup.edges.opening.verdict = BT_OVER;
    expect_first_line(&f,
                      "Over the limit: joint 1 (boards 1 and 2) opens more than the "
                      "glue bridges, or may. Next: benchtrue edges, before the glue "
                      "comes out.");
    f.glueup.edges.opening.verdict = BT_TOO_CLOSE;
    expect_text(&f, "Too close to call: joint 1 (boards 1 and 2) opens more");
}

Test(glueup_text, pressure_and_force_carry_their_source)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "  wood                          oak: mean of 9 species, 690 kg/m3\n"
                "  pressure to aim for           1.20 MPa (a source of the pressure)\n"
                "  force for one joint           47 kN, whatever the number of "
                "boards: joints are in series\n"
                "  reached with these clamps     9000 N, 0.230 MPa, under the "
                "handbook's 0.69 MPa to 1.70 MPa\n");
}

Test(glueup_text, clamps_are_told_with_place_side_and_kind)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "  needed                        3: 3 by the 45 degree spread, 3 by "
                "force\n"
                "  owned                         3\n");
    expect_text(&f, "  1   at 233 mm       below     bar\n"
                    "  2   at 700 mm       above     bar\n"
                    "  3   at 1167 mm      below     bar\n");
    f.glueup.plan.spacing_force = NAN;
    expect_text(&f, "by force not known (write force in [clamp NAME])\n");
    f.glueup.plan.shortfall = 1;
    expect_text(&f, "  owned                         3, fewer than needed: the places "
                    "below are for those\n");
    f.job.glue.caul = 40;
    expect_text(&f, "along both outer edges, 40 mm wide\n");
}

Test(glueup_text, screws_off_the_middle_are_told_by_the_cup_they_make)
{
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    expect_text(&f, "all on one side they would cup the panel by 1.40 mm\n  while "
                    "clamped; alternating above and below leaves 0.100 mm.");
    f.glueup.plan.cup_clamped = NAN;
    out = text_of(&f, &plain);
    cr_expect_null(strstr(out.text, "alternating"));
    cr_expect_null(strstr(out.text, "clamp cauls across"));
    bt_buffer_clear(&out);
    f.glueup.plan.buckling = 1.13;
    expect_text(&f, "The force is 1.13 times what bows a flat panel of this width and "
                    "thickness out between its edges:\n  clamp cauls across both faces "
                    "first, or glue it in halves.\n");
}

Test(glueup_text, stages_and_waits_are_told_with_their_sources)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.stage[0].assemblies = 2;
    expect_text(&f,
                "Stages\n"
                "  1  joint 2                    2.5 min from the first glue to the "
                "last clamp, 2 assemblies side by side\n"
                "  2  joint 1                    2.5 min from the first glue to the "
                "last clamp\n");
    expect_text(&f,
                "  glue                          not stated ([glue] kind), shop at "
                "20 C (taken: [glue] temperature)\n"
                "  stays open                    10 min (a source of the open time)\n"
                "  for a joint, for a clamp      1 min, 0.5 min (taken; common "
                "practice, no source: [glue] spread_time, place_time)\n"
                "  clamps may come off after     45 min (a source of the clamp "
                "time)\n"
                "  no stress, no machining for   24 h (a source of the full time)\n"
                "  surface it not before         7 d (a source of the wait)\n");
    f.glueup.clamp_time.value = NAN;
    expect_text(&f, "  clamps may come off after     not known\n");
}

Test(glueup_text, the_gap_of_the_glue_stands_against_the_largest_opening)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    expect_text(&f,
                "  gap that the glue bridges     0.15 mm (a source of the gap)\n"
                "  largest opening               0.02 mm (u 0.03) at joint 1, edges "
                "run alternate boards: within\n");
}

Test(glueup_text, inches_bring_pounds_and_fahrenheit)
{
    const struct bt_text_options inches = {.system = BT_SYSTEM_IN};
    struct joint_fixture f;
    struct bt_buffer out;

    joint_fixture_init(&f);
    out = text_of(&f, &inches);
    cr_expect_not_null(strstr(out.text, "174 psi"), "%s", out.text);
    cr_expect_not_null(strstr(out.text, "lbf"));
    cr_expect_not_null(strstr(out.text, "shop at 68 F"));
    bt_buffer_clear(&out);
}
