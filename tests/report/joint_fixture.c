/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/joint_fixture.h"

#include <math.h>
#include <string.h>

#define DEGREE 0.017453292519943295

static char name_1[] = "1", name_2[] = "2", name_3[] = "3", bar[] = "bar",
            title[] = "Oak window seat", file[] = "fence.csv", oak[] = "oak",
            none[] = "";

static struct bt_measured seen(double value, double u)
{
    return (struct bt_measured){value, u, true};
}

static void fill_job(struct joint_fixture *f)
{
    static char *const names[JOINT_BOARDS] = {name_1, name_2, name_3};
    static const double width[JOINT_BOARDS] = {102, 98, 105};

    f->job.title = title;
    f->job.folder = none;
    f->job.system = BT_SYSTEM_MM;
    f->job.limits = bt_limits_none();
    f->job.panel = (struct bt_panel){1400, 305, 28, oak};
    f->job.nboard = JOINT_BOARDS;
    f->job.board = f->board;
    for (size_t i = 0; i < JOINT_BOARDS; i++) {
        f->board[i] = (struct bt_board){.name = names[i],
                                        .width = width[i],
                                        .thickness = 28,
                                        .length = NAN,
                                        .taper = NAN,
                                        .moisture = NAN,
                                        .species = none,
                                        .rings = none};
        f->strip[i] = (struct bt_strip){width[i], 28, 0};
    }
    f->job.fence = (struct bt_fence_setup){.length = 900,
                                           .height = NAN,
                                           .cutter = 450,
                                           .pattern = BT_PATTERN_ALTERNATE_BOARDS,
                                           .scatter = NAN,
                                           .u_taper = NAN,
                                           .ncheck = JOINT_CHECKS,
                                           .check = f->check,
                                           .file = file};
    f->job.fence.u_origin[BT_U_INTERVAL] = 2;
    f->job.fence.u_origin[BT_U_RESOLUTION] = 1;
    for (size_t i = 0; i < JOINT_CHECKS; i++)
        f->check[i].source = 4 + i;
    f->check[2].kind = BT_FENCE_ANGLE;
    f->check[2].turned = NAN;
    f->check[1].station = 380;
    f->job.glue = (struct bt_glue_setup){.gap = NAN,
                                         .open_time = NAN,
                                         .clamp_time = NAN,
                                         .temperature = NAN,
                                         .pressure = NAN,
                                         .spread_time = NAN,
                                         .place_time = NAN,
                                         .caul = NAN};
    f->job.nclamp = 1;
    f->job.clamp = f->clamp;
    f->clamp[0] = (struct bt_clamp){bar, 30, {3, 3000, NAN, 12, 40}};
}

static void fill_setup(struct joint_fixture *f, struct bt_edge_setup *setup)
{
    struct bt_fence_result *fence = &setup->fence;

    setup->nboard = JOINT_BOARDS;
    setup->strip = f->strip;
    setup->rule = f->rule;
    for (size_t i = 0; i < JOINT_BOARDS; i++)
        f->rule[i].grain = BT_GRAIN_LEFT;
    setup->thickness_known = true;
    setup->fence_read = true;
    setup->errors =
        (struct bt_edge_errors){0.12 * DEGREE, 0.012 * DEGREE, 0.0316 * DEGREE, 0.05};
    setup->scatter_assumed = setup->u_taper_assumed = true;
    setup->own_scatter = 0.03 * DEGREE;
    setup->twist_scatter = 0.01 * DEGREE;
    fence->e = seen(0.12 * DEGREE, 0.012 * DEGREE);
    fence->slope = seen(0.04 * DEGREE / 900, 0.03 * DEGREE / 900);
    fence->twist = seen(0.04 * DEGREE, 0.03 * DEGREE);
    fence->scatter = 0;
    fence->chi2 = 1.3;
    fence->chi2_p = 0.52;
    fence->dof = 2;
    fence->agree = BT_FENCE_AGREE;
    fence->worst = 1;
    fence->worst_score = 1.1;
    fence->nstation = 2;
    fence->station = f->station;
    f->station[0] =
        (struct bt_fence_station){100, 1, seen(0.1 * DEGREE, 0.02 * DEGREE)};
    f->station[1] =
        (struct bt_fence_station){NAN, 2, seen(-0.2 * DEGREE, 0.02 * DEGREE)};
    fence->kind[BT_FENCE_SQUARE] =
        (struct bt_fence_kind_mean){2, seen(0.11 * DEGREE, 0.013 * DEGREE)};
    fence->kind[BT_FENCE_DOUBLED] = (struct bt_fence_kind_mean){0, {NAN, NAN, false}};
    fence->kind[BT_FENCE_ANGLE] =
        (struct bt_fence_kind_mean){1, seen(0.2 * DEGREE, 0.1 * DEGREE)};
    fence->next_kind = BT_FENCE_SQUARE;
    fence->next_station = 800;
    fence->next_u = 0.009 * DEGREE;
}

static void fill_section(struct joint_fixture *f, struct bt_section *section)
{
    section->nboard = JOINT_BOARDS;
    section->board = f->quad;
    section->njoint = JOINT_JOINTS;
    section->joint = f->kink;
    section->cup = seen(-0.12, 0.15);
    section->cup_exact = -0.1201;
    section->sag = -0.14;
    section->largest_kink = 0.05 * DEGREE;
    section->largest_opening = 0.024;
    section->step = 0.2;
    section->width = 305;
    f->kink[0] = (struct bt_joint_kink){102, seen(0.05 * DEGREE, 0.06 * DEGREE),
                                        seen(0.024, 0.03), true};
    f->kink[1] = (struct bt_joint_kink){200, seen(-0.02 * DEGREE, 0.06 * DEGREE),
                                        seen(0.01, 0.03), false};
    for (size_t i = 0; i < JOINT_BOARDS; i++) {
        static const double at[JOINT_BOARDS + 1] = {0, 102, 200, 305};
        static const double z[JOINT_BOARDS + 1] = {0, -0.1, -0.14, 0};
        const double y0 = at[i], y1 = at[i + 1];

        f->quad[i] = (struct bt_quad){
            {y0, z[i]}, {y1, z[i + 1]}, {y0, z[i] - 28}, {y1, z[i + 1] - 28}};
    }
}

static void fill_plan(struct joint_fixture *f, struct bt_edge_plan *plan)
{
    plan->nboard = JOINT_BOARDS;
    plan->run = f->run;
    plan->proven = true;
    plan->cup = plan->cup_bound = 0.12;
    plan->kink = plan->kink_bound = 0.05 * DEGREE;
    plan->nodes = 7;
    plan->conflict = f->conflict;
    f->run[1] = (struct bt_board_run){BT_RUN_OUT, BT_RUN_OUT, true};
}

static void fill_way(struct joint_fixture *f, struct bt_fence_way *way,
                     enum bt_pattern pattern)
{
    way->pattern = pattern;
    fill_plan(f, &way->plan);
    fill_section(f, &way->section);
    way->from_fence = seen(0, 0);
    way->from_taper = seen(-0.05, 0.03);
    way->u_scatter = 0.14;
    way->u_twist = 0.04;
}

static void fill_fence(struct joint_fixture *f)
{
    f->fence.job = &f->job;
    fill_setup(f, &f->fence.setup);
    f->fence.boards_known = true;
    fill_way(f, &f->fence.same, BT_PATTERN_SAME_FACE);
    fill_way(f, &f->fence.alternate, BT_PATTERN_ALTERNATE_BOARDS);
    fill_way(f, &f->fence.planned, BT_PATTERN_ALTERNATE_BOARDS);
    f->fence.same.section.cup = seen(-0.63, 0.16);
    f->fence.same.from_fence = seen(-0.58, 0.06);
}

static void fill_spring(struct joint_fixture *f, size_t i)
{
    f->spring[i].joint = i;
    f->spring[i].length = 1400;
    f->spring[i].aim = (struct bt_spring_joint){.stiffness = 410,
                                                .aim = 0.79,
                                                .aim_least = 0.05,
                                                .aim_most = 2.4,
                                                .hollow = 0.79,
                                                .force_middle = 324,
                                                .gap_middle = 0.07,
                                                .gap_middle_at = 300,
                                                .force_planned = 210,
                                                .force_sum = 520,
                                                .gap_planned = 0.02,
                                                .gap_planned_at = 200,
                                                .closes_most = 6.2};
}

static void fill_edges(struct joint_fixture *f, struct bt_edges_answer *edges)
{
    edges->job = &f->job;
    fill_setup(f, &edges->setup);
    edges->pattern = BT_PATTERN_ALTERNATE_BOARDS;
    fill_plan(f, &edges->plan);
    fill_section(f, &edges->section);
    edges->forgotten = f->forgotten;
    f->forgotten[0] = (struct bt_forgotten){1, -0.71, 0.24 * DEGREE, 0.117};
    f->forgotten[1] = (struct bt_forgotten){2, 0.44, 0.23 * DEGREE, 0.113};
    f->forgotten[2] = (struct bt_forgotten){0, 0.41, 0.22 * DEGREE, 0.107};
    edges->seed = 1;
    edges->scatter = (struct bt_scatter_result){
        10000, {0.123, 0.31}, {0.028, 0.061}, {0.001, 0.002}};
    edges->gap = (struct bt_glue_gap){0.15, "a source of the gap", false};
    edges->dry = f->dry;
    edges->nspring = JOINT_JOINTS;
    edges->spring = f->spring;
    for (size_t i = 0; i < JOINT_JOINTS; i++)
        fill_spring(f, i);
    strcpy(edges->wood, "oak: mean of 9 species");
    edges->E = 13200;
    edges->G = 825;
    strcpy(edges->E_source, "a source of E");
    strcpy(edges->G_source, "a source of G");
    edges->nclamp = 3;
    edges->clamp_force = 3000;
    edges->worst_joint = 0;
    edges->opening = bt_judge(BT_FIGURE_CUP, 0.024, 0.03, true, 0.15, 0.95);
}

static void fill_glueup(struct joint_fixture *f)
{
    struct bt_glueup_answer *g = &f->glueup;
    struct bt_clamping *plan = &g->plan;

    g->job = &f->job;
    fill_edges(f, &g->edges);
    *plan = (struct bt_clamping){.pressure = 1.2,
                                 .pressure_least = 0.69,
                                 .pressure_most = 1.7,
                                 .force_joint = 47000,
                                 .spacing_spread = 244,
                                 .spacing_force = 466,
                                 .spacing = 467,
                                 .needed_spread = 3,
                                 .needed_force = 3,
                                 .needed = 3,
                                 .nplace = 3,
                                 .place = f->place,
                                 .force_reached = 9000,
                                 .pressure_reached = 0.23,
                                 .end_distance = 233,
                                 .moment = 77,
                                 .cup_clamped = 1.4,
                                 .cup_alternating = 0.1,
                                 .buckling = 0.2,
                                 .nstage = 2,
                                 .stage = f->stage,
                                 .order = f->order};
    for (size_t i = 0; i < 3; i++)
        f->place[i] = (struct bt_clamp_place){233 + 467 * (double)i, 0, i == 1};
    f->stage[0] = (struct bt_stage){0, 1, 2.5, 1};
    f->stage[1] = (struct bt_stage){1, 1, 2.5, 1};
    f->order[0] = 1;
    f->order[1] = 0;
    strcpy(g->wood, "oak: mean of 9 species");
    g->density = 690;
    strcpy(g->density_source, "a source of the density");
    g->pressure = (struct bt_sourced){1.2, "a source of the pressure"};
    g->temperature = 20;
    g->temperature_assumed = g->spread_assumed = g->place_assumed = true;
    g->spread_time = 1;
    g->place_time = 0.5;
    g->open_time = (struct bt_sourced){10, "a source of the open time"};
    g->clamp_time = (struct bt_sourced){45, "a source of the clamp time"};
    g->full_time = (struct bt_sourced){24, "a source of the full time"};
    g->surface_days = (struct bt_sourced){7, "a source of the wait"};
    g->least_temperature = (struct bt_sourced){10, "a source of the cold"};
    g->clamps_owned = 3;
}

void joint_fixture_init(struct joint_fixture *fixture)
{
    memset(fixture, 0, sizeof *fixture);
    fill_job(fixture);
    fill_fence(fixture);
    fill_edges(fixture, &fixture->edges);
    fill_glueup(fixture);
}

static struct bt_judgement judged(const struct bt_measured *cup, double limit)
{
    return bt_judge(BT_FIGURE_CUP, cup->value, cup->u, cup->seen, limit, 0.95);
}

void joint_fixture_limit(struct joint_fixture *f, double limit)
{
    f->job.limits.limit[BT_FIGURE_CUP] = limit;
    f->fence.judged = f->edges.judged = f->glueup.edges.judged = true;
    f->fence.cup = judged(&f->fence.planned.section.cup, limit);
    f->edges.cup = f->glueup.edges.cup = judged(&f->edges.section.cup, limit);
}

void joint_fixture_dry(struct joint_fixture *f, enum bt_dry_verdict angle,
                       enum bt_dry_verdict straight)
{
    for (size_t i = 0; i < JOINT_JOINTS; i++) {
        f->dry_read[i] = (struct bt_dry_fit){i, 1400, 6, NULL};
        f->dry[i].read = &f->dry_read[i];
        f->dry[i].fit = (struct bt_dry_joint){.angle = seen(0.002, 0.0005),
                                              .opening = seen(0.056, 0.014),
                                              .opens_at_show = true,
                                              .wind = seen(0.001, 0.0007),
                                              .hollow = seen(0.21, 0.02),
                                              .largest = 0.25,
                                              .chi2 = 1.1,
                                              .chi2_p = 0.3,
                                              .dof = 1,
                                              .mend = BT_MEND_NOTHING};
    }
    f->dry[1].fit.angle_verdict = angle;
    f->dry[1].fit.straight_verdict = straight;
    f->edges.ndry = JOINT_JOINTS;
}
