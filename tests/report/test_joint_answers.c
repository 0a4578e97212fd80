/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Answers of fence, edges and glueup from a job, and the verdict on each. */
#include <criterion/criterion.h>

#include <math.h>
#include <string.h>

#include "benchtrue/report/fence_result.h"
#include "benchtrue/report/glueup_result.h"
#include "report/joint_fixture.h"

static void expect_near(double got, double want, double tol, const char *what)
{
    cr_expect(fabs(got - want) <= tol, "%s is %.9g, not %.9g", what, got, want);
}

static void load_sample(struct bt_job *job)
{
    const struct bt_load_options what = {.latest_only = true};
    struct bt_faults faults = {0};

    memset(job, 0, sizeof *job);
    bt_job_init(job);
    cr_assert_eq(bt_job_load(BT_SAMPLE_DIR "/reading-room-table", &what, job, &faults),
                 BT_OK);
    bt_faults_clear(&faults);
}

/* ---- verdicts ---- */

Test(joint_answers, verdict_of_a_fence_is_that_on_the_planned_cup)
{
    static const struct {
        double limit; /* 0: none */
        bool disagree, undecided;
        enum bt_verdict verdict;
    } rows[] = {
        {1, false, false, BT_WITHIN},      {1, false, true, BT_WITHIN},
        {0.2, false, false, BT_TOO_CLOSE}, {1, true, false, BT_NOT_SEEN},
        {0.001, true, false, BT_OVER},     {0, false, false, BT_WITHIN},
        {0, false, true, BT_TOO_CLOSE},    {0, true, true, BT_NOT_SEEN},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct joint_fixture f;

        joint_fixture_init(&f);
        if (rows[i].limit > 0)
            joint_fixture_limit(&f, rows[i].limit);
        f.fence.setup.fence.undecided = rows[i].undecided;
        if (rows[i].disagree)
            f.fence.setup.fence.agree = BT_FENCE_DISAGREE;
        cr_expect_eq(bt_fence_answer_verdict(&f.fence), rows[i].verdict, "row %zu", i);
    }
}

Test(joint_answers, verdict_of_edges_is_the_worst_of_cup_opening_dry_fits_and_rules)
{
    static const struct {
        enum bt_verdict cup, opening;
        enum bt_dry_verdict dry;
        bool forbidden;
        enum bt_verdict verdict;
    } rows[] = {
        {BT_WITHIN, BT_WITHIN, BT_DRY_CLOSES, false, BT_WITHIN},
        {BT_TOO_CLOSE, BT_WITHIN, BT_DRY_CLOSES, false, BT_TOO_CLOSE},
        {BT_WITHIN, BT_TOO_CLOSE, BT_DRY_CLOSES, false, BT_TOO_CLOSE},
        {BT_TOO_CLOSE, BT_WITHIN, BT_DRY_NOT_SEEN, false, BT_NOT_SEEN},
        {BT_WITHIN, BT_WITHIN, BT_DRY_TOO_CLOSE, false, BT_TOO_CLOSE},
        {BT_WITHIN, BT_WITHIN, BT_DRY_OPEN, false, BT_OVER},
        {BT_OVER, BT_WITHIN, BT_DRY_NOT_SEEN, false, BT_OVER},
        {BT_WITHIN, BT_OVER, BT_DRY_CLOSES, false, BT_OVER},
        {BT_WITHIN, BT_WITHIN, BT_DRY_CLOSES, true, BT_OVER},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct joint_fixture f;

        joint_fixture_init(&f);
        joint_fixture_limit(&f, 1);
        joint_fixture_dry(&f, BT_DRY_CLOSES, rows[i].dry);
        f.edges.cup.verdict = rows[i].cup;
        f.edges.opening.verdict = rows[i].opening;
        f.conflict[0] =
            (struct bt_edge_conflict){0, false, BT_CONFLICT_GRAIN, rows[i].forbidden};
        f.edges.plan.nconflict = 1;
        cr_expect_eq(bt_edges_answer_verdict(&f.edges), rows[i].verdict, "row %zu", i);
    }
}

Test(joint_answers, verdict_of_a_glue_up_is_over_where_something_is_missing)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_WITHIN);
    f.glueup.edges.opening.verdict = BT_TOO_CLOSE;
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_TOO_CLOSE);
    f.glueup.open_time.value = NAN;
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_NOT_SEEN);
    f.glueup.plan.shortfall = 1;
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_OVER);
    f.job.nclamp = 0; /* none is stated: what is missing is not known */
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_NOT_SEEN);
    f.glueup.plan.open_time_short = true;
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_OVER);
    f.glueup.plan.open_time_short = false;
    f.glueup.too_cold = true;
    cr_expect_eq(bt_glueup_answer_verdict(&f.glueup), BT_OVER);
}

/* ---- from the job ---- */

Test(joint_answers, what_the_cup_is_made_of_adds_up_to_it)
{
    struct bt_fence_answer answer;
    struct bt_job job;

    load_sample(&job);
    cr_assert_eq(bt_fence_answer_find(&job, &answer, NULL), BT_OK);
    cr_assert(answer.boards_known);
    for (int i = 0; i < 3; i++) {
        const struct bt_fence_way *way = i == 0   ? &answer.same
                                         : i == 1 ? &answer.alternate
                                                  : &answer.planned;
        const struct bt_measured *cup = &way->section.cup;
        const double u = hypot(hypot(way->from_fence.u, way->from_taper.u),
                               hypot(way->u_scatter, way->u_twist));

        expect_near(way->from_fence.value + way->from_taper.value, cup->value, 1e-9,
                    "the cup");
        expect_near(u, cup->u, 1e-9, "its u");
    }
    /* what same face adds up alternate boards cancel */
    cr_expect(fabs(answer.same.from_fence.value) > 1.5);
    expect_near(answer.alternate.from_fence.value, 0, 1e-9, "the fence's share");
    cr_expect(answer.judged);
    bt_fence_answer_clear(&answer);
    bt_job_clear(&job);
}

Test(joint_answers, rules_that_leave_no_way_do_not_hide_how_far_the_fence_is_out)
{
    struct bt_fence_answer answer;
    struct bt_job job;

    load_sample(&job);
    job.board[3].rule = (struct bt_board_rule){.back_fixed = true,
                                               .front_fixed = true,
                                               .back = BT_RUN_IN,
                                               .front = BT_RUN_IN,
                                               .grain = BT_GRAIN_LEFT};
    cr_assert_eq(bt_fence_answer_find(&job, &answer, NULL), BT_OK);
    cr_expect_eq(strncmp(answer.no_plan, "boards.csv:10: board 4: ", 24), 0, "%s",
                 answer.no_plan);
    cr_expect(answer.boards_known && !answer.judged);
    cr_expect(answer.same.section.nboard == 6 && answer.planned.section.nboard == 0);
    cr_expect_eq(bt_fence_answer_verdict(&answer), BT_WITHIN);
    bt_fence_answer_clear(&answer);
    bt_job_clear(&job);
}

Test(joint_answers, a_fence_without_checks_says_what_to_write)
{
    struct bt_fence_answer answer;
    struct bt_error err;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.job.fence.file = NULL;
    cr_expect_eq(bt_fence_answer_find(&f.job, &answer, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no check of the fence is written down: write "
                     "fence.csv, a row a check, of kind square, doubled or "
                     "angle");
    bt_fence_answer_clear(&answer);
}

/* The story of the sample: all boards run alike make what was read. */
Test(joint_answers, the_sample_run_with_the_same_face_makes_the_cup_that_was_read)
{
    struct bt_fence_answer fence;
    struct bt_edges_answer answer;
    struct bt_job job;

    load_sample(&job);
    cr_assert_eq(bt_fence_answer_find(&job, &fence, NULL), BT_OK);
    expect_near(fence.same.section.cup.value, -1.65, 0.1, "the cup");
    bt_fence_answer_clear(&fence);
    cr_assert_eq(bt_edges_answer_find(&job, NULL, &answer, NULL), BT_OK);
    for (size_t i = 1; i < answer.setup.nboard; i++)
        cr_expect(fabs(answer.forgotten[i - 1].cup) >= fabs(answer.forgotten[i].cup));
    bt_edges_answer_clear(&answer);
    bt_job_clear(&job);
}

Test(joint_answers, the_same_seed_gives_the_same_draws_and_another_pattern_another_cup)
{
    const struct bt_edges_request one = {BT_PATTERNS, 2000, 7};
    const struct bt_edges_request same = {BT_PATTERN_SAME_FACE, 2000, 7};
    struct bt_edges_answer a, b, c;
    struct bt_job job;

    load_sample(&job);
    cr_assert_eq(bt_edges_answer_find(&job, &one, &a, NULL), BT_OK);
    cr_assert_eq(bt_edges_answer_find(&job, &one, &b, NULL), BT_OK);
    cr_assert_eq(bt_edges_answer_find(&job, &same, &c, NULL), BT_OK);
    cr_expect_eq(a.scatter.draws, 2000);
    cr_expect(a.scatter.cup.p95 == b.scatter.cup.p95);
    cr_expect_eq(a.pattern, BT_PATTERN_BEST);
    cr_expect_eq(c.pattern, BT_PATTERN_SAME_FACE);
    cr_expect(fabs(c.section.cup.value) > fabs(a.section.cup.value) + 1.5);
    cr_expect_eq(bt_edges_answer_verdict(&c), BT_OVER);
    bt_edges_answer_clear(&a);
    bt_edges_answer_clear(&b);
    bt_edges_answer_clear(&c);
    bt_job_clear(&job);
}

Test(joint_answers, springs_need_a_species_and_a_length_and_say_so)
{
    static char none[] = "", odd[] = "plastic";
    static const struct {
        char *species;
        double length;
        const char *missing;
    } rows[] = {
        {none, 1400,
         "no species is stated: write species in [panel] of job.ini, or a "
         "column species in boards.csv"},
        {odd, 1400, "no such species: 'plastic'"},
        {none, NAN, "no length is stated: write length in [panel] of job.ini"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_edges_answer answer;
        struct joint_fixture f;

        joint_fixture_init(&f);
        f.job.fence.ncheck = 0;
        f.job.panel.species = rows[i].species;
        f.job.panel.length = rows[i].length;
        cr_assert_eq(bt_edges_answer_find(&f.job, NULL, &answer, NULL), BT_OK);
        cr_expect_eq(answer.nspring, 0);
        cr_expect_eq(
            strncmp(answer.spring_missing, rows[i].missing, strlen(rows[i].missing)), 0,
            "'%s'", answer.spring_missing);
        bt_edges_answer_clear(&answer);
    }
}

Test(joint_answers, springs_are_reckoned_on_the_clamps_that_glueup_plans)
{
    struct bt_edges_answer answer;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    cr_assert_eq(bt_edges_answer_find(&f.job, NULL, &answer, NULL), BT_OK);
    cr_expect_eq(answer.nspring, JOINT_JOINTS);
    cr_expect_eq(answer.nclamp, 3);
    expect_near(answer.clamp_force, 3000, 0, "the clamps' force");
    cr_expect_not(answer.clamp_assumed);
    cr_expect(answer.spring[0].aim.closes_most > 0);
    bt_edges_answer_clear(&answer);

    f.job.nclamp = 0;
    cr_assert_eq(bt_edges_answer_find(&f.job, NULL, &answer, NULL), BT_OK);
    cr_expect(answer.clamp_assumed);
    cr_expect_eq(answer.nclamp, 1);
    cr_expect(isnan(answer.clamp_force) && isnan(answer.spring[0].aim.closes_most));
    bt_edges_answer_clear(&answer);
}

Test(joint_answers, a_dry_fit_that_shows_a_hollow_gives_the_force_that_closes_it)
{
    struct bt_edges_answer answer;
    struct bt_job job;

    load_sample(&job);
    cr_assert_eq(bt_edges_answer_find(&job, NULL, &answer, NULL), BT_OK);
    cr_assert_eq(answer.ndry, 3);
    cr_expect_eq(answer.dry[1].read->joint, 2);
    cr_expect(answer.spring[2].read && !answer.spring[1].read);
    expect_near(answer.spring[2].dry.hollow, answer.dry[1].fit.hollow.value, 1e-12,
                "the hollow");
    bt_edges_answer_clear(&answer);
    bt_job_clear(&job);
}

Test(joint_answers, the_gap_of_the_glue_is_the_jobs_then_the_kinds_then_the_trades)
{
    const struct bt_glue glue = {.name = "a glue", .gap_most = {0.22, "a source"}};
    struct bt_glue_gap gap;
    struct joint_fixture f;

    joint_fixture_init(&f);
    gap = bt_glue_gap_of(&f.job);
    cr_expect(gap.assumed);
    expect_near(gap.most, 0.1, 0, "the gap taken");
    f.job.glue.kind = &glue;
    gap = bt_glue_gap_of(&f.job);
    cr_expect_not(gap.assumed);
    expect_near(gap.most, 0.22, 0, "the kind's gap");
    cr_expect_str_eq(gap.source, "a source");
    f.job.glue.gap = 0.3;
    gap = bt_glue_gap_of(&f.job);
    expect_near(gap.most, 0.3, 0, "the job's gap");
    cr_expect_str_eq(gap.source, "job.ini, [glue]");
}

Test(joint_answers, a_glue_up_takes_the_densest_wood_and_the_times_of_the_shop)
{
    static char oak[] = "white oak", ash[] = "white ash";
    const struct bt_glue glue = {.name = "a glue",
                                 .gap_most = {0.2, "g"},
                                 .open_time = {10, "o"},
                                 .open_temperature = {20, "t"},
                                 .clamp_time = {30, "c"},
                                 .full_time = {24, "f"},
                                 .surface_days = {7, "s"},
                                 .least_temperature = {12, "l"}};
    struct bt_glueup_answer answer;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.job.glue.kind = &glue;
    f.job.glue.temperature = 10;
    f.board[0].species = ash;
    f.board[1].species = oak;
    f.board[2].species = ash;
    cr_assert_eq(bt_glueup_answer_find(&f.job, NULL, &answer, NULL), BT_OK);
    cr_expect_not_null(strstr(answer.wood, "Oak"), "%s", answer.wood);
    expect_near(answer.open_time.value, 20, 1e-9, "the open time, ten degrees colder");
    expect_near(answer.clamp_time.value, 60, 1e-9, "the clamp time");
    cr_expect(answer.too_cold);
    cr_expect_str_eq(answer.open_time.source, "o");
    expect_near(answer.plan.pressure, answer.pressure.value, 0, "the pressure");
    cr_expect_eq(answer.clamps_owned, 3);
    bt_glueup_answer_clear(&answer);

    f.job.glue.open_time = 13; /* the job's own holds for its shop */
    cr_assert_eq(bt_glueup_answer_find(&f.job, NULL, &answer, NULL), BT_OK);
    expect_near(answer.open_time.value, 13, 0, "the job's open time");
    bt_glueup_answer_clear(&answer);
}

Test(joint_answers, a_glue_up_that_lacks_something_says_what_to_write)
{
    static char none[] = "";
    struct bt_glueup_answer answer;
    struct bt_error err;
    struct joint_fixture f;

    joint_fixture_init(&f);
    f.job.fence.ncheck = 0;
    f.job.panel.species = none;
    cr_expect_eq(bt_glueup_answer_find(&f.job, NULL, &answer, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no species is stated: write species in [panel] of job.ini, or a "
                     "column species in boards.csv");
    bt_glueup_answer_clear(&answer);

    f.job.glue.pressure = 1; /* with a pressure the wood need not be known */
    cr_expect_eq(bt_glueup_answer_find(&f.job, NULL, &answer, &err), BT_OK);
    cr_expect_str_eq(answer.wood, "");
    cr_expect_str_eq(answer.pressure.source, "job.ini, [glue]");
    bt_glueup_answer_clear(&answer);

    f.job.panel.length = NAN;
    cr_expect_eq(bt_glueup_answer_find(&f.job, NULL, &answer, &err), BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "no length is stated: write length in [panel] of job.ini");
    bt_glueup_answer_clear(&answer);

    f.job.nboard = 1;
    cr_expect_eq(bt_glueup_answer_find(&f.job, NULL, &answer, &err), BT_EINPUT);
    cr_expect_str_eq(err.message, "one board has no joint to glue: write a row in "
                                  "boards.csv for each board");
    bt_glueup_answer_clear(&answer);
}
