/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/clamping_case.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

/* Stages of a glue-up: bt_clamping_plan. */

static const struct stage_case {
    const char *name;
    size_t nboard, most; /* boards, joints in one go */
    size_t sets;         /* of clamps */
    size_t nstage, count[8], assemblies[8], order[12];
} stage_cases[] = {
    {"all at once", 6, 5, 9, 1, {5}, {1}, {0, 1, 2, 3, 4}},
    {"halves, then together", 6, 2, 9, 2, {4, 1}, {2, 1}, {0, 1, 3, 4, 2}},
    {"clamps for one half only", 6, 2, 1, 3, {2, 2, 1}, {1, 1, 1}, {0, 1, 3, 4, 2}},
    {"one joint at a time", 8, 1, 9, 3, {4, 2, 1}, {4, 2, 1}, {0, 2, 4, 6, 1, 5, 3}},
    {"two sets of clamps",
     8,
     1,
     2,
     4,
     {2, 2, 2, 1},
     {2, 2, 2, 1},
     {0, 2, 4, 6, 1, 5, 3}},
    {"uneven", 5, 1, 9, 3, {2, 1, 1}, {2, 1, 1}, {0, 3, 1, 2}},
    {"two boards", 2, 1, 1, 1, {1}, {1}, {0}},
    /* halves would take three stages, five and four */
    {"two and two", 5, 2, 1, 2, {2, 2}, {1, 1}, {0, 1, 2, 3}},
    {"a part between two joints",
     9,
     2,
     2,
     3,
     {4, 3, 1},
     {2, 2, 1},
     {0, 1, 3, 4, 2, 5, 7, 6}},
    {"three at a time", 7, 3, 1, 2, {3, 3}, {1, 1}, {0, 1, 2, 3, 4, 5}},
};

static struct bt_clamping plan_stages(size_t nboard, size_t most, size_t sets)
{
    static const double width[64] = {90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90,
                                     95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95,
                                     90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90,
                                     95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95,
                                     90, 95, 90, 95, 90, 95, 90, 95, 90, 95, 90, 95};
    struct bt_clamp_kind kind = {5 * sets, NAN, NAN, 0, 106};
    struct bt_clamping_request request = ask(1, &kind);

    request.nboard = nboard;
    request.width = width;
    request.caul = 0;
    request.length = 1430; /* 5 clamps by a spacing of 2 x 90 + 106 = 286 mm */
    request.spread_time = 0.75;
    request.place_time = 0.5; /* 2.5 minutes for the clamps */
    request.open_time = 2.5 + 0.75 * (double)most + 0.1;
    return plan_of(&request);
}

Test(stages, halves_are_glued_first_and_then_together_where_that_costs_no_stage)
{
    for (size_t i = 0; i < sizeof stage_cases / sizeof *stage_cases; i++) {
        const struct stage_case *c = &stage_cases[i];
        struct bt_clamping plan = plan_stages(c->nboard, c->most, c->sets);
        size_t first = 0;

        cr_assert_eq(plan.nstage, c->nstage, "%s: %zu", c->name, plan.nstage);
        for (size_t k = 0; k < plan.nstage; k++) {
            cr_expect_eq(plan.stage[k].first, first, "%s", c->name);
            cr_expect_eq(plan.stage[k].count, c->count[k], "%s", c->name);
            cr_expect_eq(plan.stage[k].assemblies, c->assemblies[k], "%s", c->name);
            first += c->count[k];
        }
        for (size_t k = 0; k + 1 < c->nboard; k++)
            cr_expect_eq(plan.order[k], c->order[k], "%s: %zu", c->name, k);
        cr_expect_not(plan.open_time_short);
        bt_clamping_clear(&plan);
    }
}

Test(stages, minutes_are_those_of_the_longest_assembly)
{
    struct bt_clamping plan = plan_stages(6, 2, 9);

    expect_near(plan.stage[0].minutes, 2.5 + 2 * 0.75, 1e-12, "two joints");
    expect_near(plan.stage[1].minutes, 2.5 + 0.75, 1e-12, "one joint");
    bt_clamping_clear(&plan);
}

Test(stages, the_maker_may_want_fewer_joints_than_the_open_time_allows)
{
    struct bt_clamping_request request = ask(1, &bars);
    struct bt_clamping plan;

    request.open_time = 1e6;
    plan = plan_of(&request);
    cr_expect_eq(plan.nstage, 1);
    bt_clamping_clear(&plan);
    request.most_joints = 2;
    plan = plan_of(&request);
    cr_expect_geq(plan.nstage, 2);
    cr_expect_leq(plan.stage[0].count, 2 * plan.stage[0].assemblies);
    bt_clamping_clear(&plan);
    request.most_joints = 50;
    plan = plan_of(&request);
    cr_expect_eq(plan.nstage, 1);
    bt_clamping_clear(&plan);
}

Test(stages, an_open_time_too_short_for_one_joint_is_said_and_planned_one_by_one)
{
    struct bt_clamping_request request = ask(1, &bars);
    struct bt_clamping plan;

    request.open_time = 1;
    plan = plan_of(&request);
    cr_expect(plan.open_time_short);
    cr_expect_eq(plan.stage[plan.nstage - 1].count, 1);
    for (size_t i = 0; i < plan.nstage; i++)
        cr_expect_eq(plan.stage[i].count, plan.stage[i].assemblies);
    bt_clamping_clear(&plan);
}

/* Fewest stages, by trying every number of joints and assemblies in each stage. */
static size_t fewest(size_t njoint, size_t most, size_t sets)
{
    size_t stages[64] = {0};

    for (size_t left = 1; left <= njoint; left++) {
        stages[left] = SIZE_MAX;
        for (size_t k = 1; k <= sets; k++)
            for (size_t n = k; n <= k * most && n + k - 1 <= left; n++)
                if (stages[left - n] + 1 < stages[left])
                    stages[left] = stages[left - n] + 1;
    }
    return stages[njoint];
}

/* The part to which each board belongs, joined as the joints are glued. */
static void expect_glued_in_order(size_t nboard, size_t most, size_t sets)
{
    struct bt_clamping plan = plan_stages(nboard, most, sets);
    size_t part[64], joined = 0;

    for (size_t i = 0; i < nboard; i++)
        part[i] = i;
    for (size_t s = 0; s < plan.nstage; s++) {
        const struct bt_stage *stage = &plan.stage[s];
        size_t runs = 0, longest = 0, run = 0, last_part = 64;

        cr_expect_eq(stage->first, joined);
        for (size_t k = 0; k < stage->count; k++) {
            size_t joint = plan.order[stage->first + k];
            /* two assemblies of a stage have no part in common */
            bool new_run = part[joint] != last_part;

            if (k > 0)
                cr_expect_lt(plan.order[stage->first + k - 1], joint);
            runs += new_run ? 1 : 0;
            run = new_run ? 1 : run + 1;
            longest = run > longest ? run : longest;
            last_part = part[joint + 1];
        }
        for (size_t k = 0; k < stage->count; k++) {
            size_t joint = plan.order[stage->first + k], from = part[joint + 1];

            cr_expect_neq(part[joint], from, "joint %zu is glued twice", joint);
            for (size_t i = 0; i < nboard; i++)
                if (part[i] == from)
                    part[i] = part[joint];
        }
        joined += stage->count;
        cr_expect_eq(stage->assemblies, runs);
        cr_expect_leq(runs, sets);
        cr_expect_leq(longest, most);
        expect_near(stage->minutes, 2.5 + 0.75 * (double)longest, 1e-12, "minutes");
    }
    cr_expect_eq(joined, nboard - 1);
    cr_expect_eq(plan.nstage, fewest(nboard - 1, most, sets),
                 "%zu boards, %zu, %zu: %zu", nboard, most, sets, plan.nstage);
    bt_clamping_clear(&plan);
}

Test(stages, each_joint_is_glued_once_and_never_within_a_part_that_is_in_clamps)
{
    for (size_t nboard = 2; nboard <= 33; nboard++)
        for (size_t most = 1; most <= 7; most++)
            for (size_t sets = 1; sets <= 5; sets++)
                expect_glued_in_order(nboard, most, sets);
}
