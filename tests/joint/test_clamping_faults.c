/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/clamping_case.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support/memory.h"

static void expect_refused(const struct bt_clamping_request *request, size_t row,
                           const char *message)
{
    struct bt_clamping plan, before;
    struct bt_error err = {.row = 99};

    memset(&plan, 0x5a, sizeof plan);
    before = plan;
    cr_expect_eq(bt_clamping_plan(request, &plan, &err), BT_EINPUT, "%s", message);
    cr_expect_eq(err.code, BT_EINPUT);
    cr_expect_eq(err.row, row, "%s: row %zu", message, err.row);
    cr_expect_str_eq(err.message, message);
    cr_expect_eq(memcmp(&plan, &before, sizeof plan), 0, "%s: touched", message);
    cr_expect_eq(bt_clamping_plan(request, &plan, NULL), BT_EINPUT);
}

/* A member of the request, and what is refused in it. */
#define REFUSES(member, bad, message)                                                  \
    do {                                                                               \
        struct bt_clamping_request r = ask(1, &bars);                                  \
        r.member = bad;                                                                \
        expect_refused(&r, 0, message);                                                \
    } while (0)

Test(clamping_faults, refuses_numbers_out_of_range)
{
    static const double not_above[] = {0, -2.5, INFINITY};

    for (size_t i = 0; i < 3; i++) {
        double bad = not_above[i];

        REFUSES(length, bad, "the length of the panel must be a number above 0");
        REFUSES(thickness, bad, "the thickness of the panel must be a number above 0");
        REFUSES(pressure, bad, "the pressure must be a number above 0");
        REFUSES(density, bad, "the density must be a number above 0");
        REFUSES(E_across, bad,
                "the stiffness across the grain must be a number above 0");
        REFUSES(open_time, bad, "the open time must be a number above 0");
    }
    REFUSES(length, NAN, "the length of the panel must be a number above 0");
    REFUSES(thickness, NAN, "the thickness of the panel must be a number above 0");
    REFUSES(density, NAN, "the density must be a number above 0");
    REFUSES(open_time, NAN, "the open time must be a number above 0");
    REFUSES(nboard, 1, "fewer than 2 boards have no joint to glue");
    REFUSES(nboard, 0, "fewer than 2 boards have no joint to glue");
    for (size_t i = 1; i < 4; i++) {
        double bad = i < 3 ? not_above[i] : NAN;

        REFUSES(caul, bad, "the width of the caul must be a number of 0 or more");
        REFUSES(spread_time, bad,
                "the times to spread a joint and to set a clamp must be numbers of 0 "
                "or more");
        REFUSES(place_time, bad,
                "the times to spread a joint and to set a clamp must be numbers of 0 "
                "or more");
    }
}

Test(clamping_faults, refuses_a_board_without_a_width_and_names_it)
{
    static const double bad[] = {0, -90, NAN, INFINITY};

    for (size_t i = 0; i < 4; i++) {
        double width[] = {90, 85, 90};
        struct bt_clamping_request request = ask(1, &bars);

        width[1] = bad[i];
        request.nboard = 3;
        request.width = width;
        expect_refused(&request, 1, "the width of board 2 must be a number above 0");
    }
}

Test(clamping_faults, refuses_a_kind_that_cannot_be_and_names_it)
{
    static const double not_above[] = {0, -1, INFINITY}, below[] = {-1, INFINITY};
    struct bt_clamp_kind kinds[2] = {bars, bars};
    struct bt_clamping_request request = ask(2, kinds);

    for (size_t i = 0; i < 3; i++) {
        kinds[0] = kinds[1] = bars;
        kinds[1].force = not_above[i];
        expect_refused(&request, 1,
                       "the force of a clamp must be a number above 0 (kind 2)");
        kinds[1] = bars;
        kinds[0].opening = not_above[i];
        expect_refused(&request, 0,
                       "the opening of a clamp must be a number above 0 (kind 1)");
    }
    for (size_t i = 0; i < 2; i++) {
        kinds[0] = kinds[1] = bars;
        kinds[1].offset = below[i];
        expect_refused(
            &request, 1,
            "the offset of a screw line must be a number of 0 or more (kind 2)");
        kinds[1].offset = 0;
        kinds[1].pad = below[i];
        expect_refused(&request, 1,
                       "the jaw of a clamp must have a width of 0 or more (kind 2)");
    }
    kinds[1] = bars;
    kinds[1].pad = NAN;
    expect_refused(&request, 1,
                   "the jaw of a clamp must have a width of 0 or more (kind 2)");
    kinds[1] = bars;
    kinds[1].count = 0;
    expect_refused(&request, 1, "there must be one clamp of a kind at least (kind 2)");
}

Test(clamping_faults, refuses_what_would_need_more_than_a_million_clamps)
{
    struct bt_clamp_kind weak = bars;
    struct bt_clamping_request request = ask(1, &weak);

    weak.force = 1e-3;
    expect_refused(&request, 0, "more than a million clamps would be needed");
    weak.force = 1e-308;
    expect_refused(&request, 0, "more than a million clamps would be needed");
    weak = bars;
    request.length = 1e12;
    expect_refused(&request, 0, "more than a million clamps would be needed");
}

Test(clamping_faults, refuses_numbers_with_which_nothing_can_be_computed)
{
    static const char message[] =
        "the numbers are too large or too small to compute with";
    double width[2] = {1e308, 1e308};
    struct bt_clamp_kind strong = bars;
    struct bt_clamping_request request = ask(1, &strong);

    request.thickness = 1e308;
    expect_refused(&request, 0, message);
    request = ask(1, &strong);
    request.nboard = 2;
    request.width = width;
    expect_refused(&request, 0, message);
    strong.force = 1e308;
    request = ask(1, &strong);
    expect_refused(&request, 0, message);
    strong = bars;
    request = ask(1, &strong);
    request.E_across = 1e-308;
    request.thickness = 1e-8;
    request.pressure = 1e8;
    expect_refused(&request, 0, message);
}

Test(clamping_faults, counts_of_clamps_without_end_do_not_run_over)
{
    struct bt_clamp_kind kinds[2] = {bars, light};
    struct bt_clamping_request request = ask(2, kinds);
    struct bt_clamping plan;

    kinds[0].count = kinds[1].count = (size_t)-1;
    plan = plan_of(&request);
    cr_expect_eq(plan.shortfall, 0);
    cr_expect_eq(plan.nplace, plan.needed);
    bt_clamping_clear(&plan);
}

Test(clamping_faults, clear_takes_nothing_and_a_plan_of_zeroes)
{
    struct bt_clamping plan = {0};

    bt_clamping_clear(NULL);
    bt_clamping_clear(&plan);
    cr_expect_eq(memory_live(), 0);
}

/* ---- memory ---- */

Test(clamping_faults, says_so_when_any_allocation_fails_and_keeps_none)
{
    struct bt_clamping_request request = ask(1, &bars);
    struct bt_clamping plan, before;
    size_t count;

    memory_fail_at(0);
    plan = plan_of(&request);
    count = memory_calls();
    bt_clamping_clear(&plan);
    cr_assert_geq(count, 5);
    cr_expect_eq(memory_live(), 0);
    memset(&plan, 0x5a, sizeof plan);
    before = plan;
    for (size_t k = 1; k <= count; k++) {
        struct bt_error err = {0};

        memory_fail_at(k);
        cr_expect_eq(bt_clamping_plan(&request, &plan, &err), BT_ENOMEM, "call %zu", k);
        cr_expect_str_eq(err.message, "out of memory");
        memory_fail_from(k);
        cr_expect_eq(bt_clamping_plan(&request, &plan, NULL), BT_ENOMEM, "from %zu", k);
        cr_expect_eq(memory_live(), 0, "call %zu: %zu kept", k, memory_live());
        cr_expect_eq(memcmp(&plan, &before, sizeof plan), 0, "call %zu: touched", k);
    }
    memory_fail_at(0);
    plan = plan_of(&request);
    bt_clamping_clear(&plan);
    cr_expect_eq(memory_live(), 0);
}
