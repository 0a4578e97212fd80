/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each allocation of a section, a plan and its draws fails in turn; links
 * support/memory.c. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/joint/edge_plan.h"
#include "benchtrue/joint/scatter.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(joint_memory_edges, .init = quiet_gsl);

enum { BOARDS = 5 };

struct panel {
    struct bt_strip strip[BOARDS];
    struct bt_board_rule rule[BOARDS];
    struct bt_board_run run[BOARDS];
    struct bt_edge_errors errors;
};

static struct panel make_panel(void)
{
    struct panel p = {.errors = {.e = 0.003, .u_e = 0.001, .scatter = 0.0005}};

    for (size_t i = 0; i < BOARDS; i++) {
        p.strip[i] = (struct bt_strip){80 + 7 * (double)i, 24, 0.1 * (double)i};
        p.rule[i].may_turn = i % 2;
        p.rule[i].against_grain_allowed = true;
        p.run[i].front = i % 2 ? BT_RUN_IN : BT_RUN_OUT;
    }
    return p;
}

static enum bt_status evaluate(const struct panel *p, struct bt_error *err)
{
    struct bt_section s = {0};
    enum bt_status status =
        bt_section_evaluate(BOARDS, p->strip, p->run, &p->errors, &s, err);

    bt_section_clear(&s);
    return status;
}

static enum bt_status plan(const struct panel *p, struct bt_error *err)
{
    const struct bt_edge_plan_request request = {.nboard = BOARDS,
                                                 .strip = p->strip,
                                                 .rule = p->rule,
                                                 .errors = p->errors,
                                                 .pattern = BT_PATTERN_BEST,
                                                 .cup_step = 0.01,
                                                 .kink_step = 1e-5};
    struct bt_edge_plan found = {0};
    enum bt_status status = bt_edge_plan_find(&request, &found, err);

    bt_edge_plan_clear(&found);
    return status;
}

static enum bt_status forget(const struct panel *p, struct bt_error *err)
{
    struct bt_forgotten out[BOARDS];

    return bt_edge_plan_forgotten(BOARDS, p->strip, p->run, &p->errors, out, err);
}

static enum bt_status draw(const struct panel *p, struct bt_error *err)
{
    struct bt_scatter_result result;

    return bt_scatter_draw(BOARDS, p->strip, p->run, &p->errors, 3000, 1, &result, err);
}

static const struct {
    const char *name;
    enum bt_status (*call)(const struct panel *, struct bt_error *);
    size_t least; /* allocations that there are at least */
} calls[] = {
    {"section", evaluate, 2},
    {"plan", plan, 17},
    {"forgotten", forget, 1 + 2 * BOARDS},
    {"scatter", draw, 8},
};

static void expect_no_memory(size_t which, const struct panel *p, size_t k)
{
    const size_t before = memory_live();
    struct bt_error err = {0};

    memory_fail_at(k);
    cr_expect_eq(calls[which].call(p, &err), BT_ENOMEM, "%s, call %zu",
                 calls[which].name, k);
    cr_expect_eq(err.code, BT_ENOMEM, "%s, call %zu", calls[which].name, k);
    cr_expect_str_eq(err.message, "out of memory", "%s, call %zu: %s",
                     calls[which].name, k, err.message);
    memory_fail_from(k);
    cr_expect_eq(calls[which].call(p, NULL), BT_ENOMEM, "%s, all from call %zu",
                 calls[which].name, k);
    cr_expect_eq(memory_live(), before, "%s, call %zu: %zu blocks kept",
                 calls[which].name, k, memory_live() - before);
}

Test(joint_memory_edges, each_call_says_so_when_any_allocation_fails_and_keeps_none)
{
    const struct panel p = make_panel();

    for (size_t i = 0; i < sizeof calls / sizeof *calls; i++) {
        const size_t before = memory_live();
        size_t count;

        memory_fail_at(0);
        cr_assert_eq(calls[i].call(&p, NULL), BT_OK, "%s", calls[i].name);
        count = memory_calls();
        cr_expect(count >= calls[i].least, "%s: %zu calls", calls[i].name, count);
        cr_expect_eq(memory_live(), before, "%s", calls[i].name);
        for (size_t k = 1; k <= count; k++)
            expect_no_memory(i, &p, k);
        memory_fail_at(0);
        cr_expect_eq(calls[i].call(&p, NULL), BT_OK, "%s", calls[i].name);
    }
}
