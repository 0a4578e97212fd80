/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <string.h>

#include "benchtrue/base/day.h"

/* Known days: the epoch of POSIX (IEEE Std 1003.1), the leap day of 2000, the ends. */
static const struct {
    const char *date;
    long day;
} known[] = {{"1970-01-01", 0},       {"1969-12-31", -1},     {"2000-02-29", 11016},
             {"2000-03-01", 11017},   {"2026-03-09", 20521},  {"1900-03-01", -25508},
             {"0000-01-01", -719528}, {"9999-12-31", 2932896}};

Test(day, numbers_days_from_1970_and_back)
{
    char date[BT_DATE_ROOM];

    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        long day = 7;

        cr_expect(bt_day_of_date(known[i].date, &day), "%s", known[i].date);
        cr_expect_eq(day, known[i].day, "%s: %ld", known[i].date, day);
        cr_expect_str_eq(bt_date_of_day(date, known[i].day), known[i].date);
    }
}

Test(day, every_day_of_ten_thousand_years_comes_back)
{
    char date[BT_DATE_ROOM], before[BT_DATE_ROOM] = "";
    size_t wrong = 0;

    for (long day = -719528; day <= 2932896; day++) {
        long back = 0;

        bt_date_of_day(date, day);
        wrong +=
            !bt_day_of_date(date, &back) || back != day || strcmp(date, before) <= 0;
        memcpy(before, date, sizeof date);
    }
    cr_expect_eq(wrong, 0);
}

Test(day, refuses_what_is_no_day)
{
    static const char *const none[] = {
        "",           "2026",        "2026-02-29", "1900-02-29", "2026-13-01",
        "2026-00-10", "2026-04-31",  "2026-04-00", "2026-4-01",  "2026/04/01",
        "16-03-2026", "2026-03-161", "2026-03-1"};
    char date[BT_DATE_ROOM];
    long day = 7;

    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        cr_expect(!bt_day_of_date(none[i], &day), "%s", none[i]);
    cr_expect_eq(day, 7);
    cr_expect_str_eq(bt_date_of_day(date, -719529), "");
    cr_expect_str_eq(bt_date_of_day(date, 2932897), "");
}
