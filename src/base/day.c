/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/day.h"

#include <string.h>

/* Days before the first of a month in a year that begins with March, so that the day
 * that leap years add comes last. */
static long before_month(long month)
{
    return (153 * month + 2) / 5;
}

/* Days before 1 March of a year, from 1 March of year 0; year >= -1, so that the
 * divisions, which are to round down, get a positive number. */
static long before_year(long year)
{
    return 365 * year + (year + 4) / 4 - 1 - (year + 100) / 100 + 1 +
           (year + 400) / 400 - 1;
}

/* Of 1970-01-01 from 1 March of year 0. */
static const long epoch = 719468;

static long day_of(long year, long month, long day)
{
    const bool early = month < 3;

    return before_year(early ? year - 1 : year) +
           before_month(early ? month + 9 : month - 3) + day - 1 - epoch;
}

static long number(const char *text, int digits)
{
    long n = 0;

    for (int i = 0; i < digits; i++)
        n = 10 * n + (text[i] - '0');
    return n;
}

bool bt_day_of_date(const char *date, long *day)
{
    static const char form[] = "dddd-dd-dd";
    char again[BT_DATE_ROOM];
    long found;

    for (size_t i = 0; i < sizeof form; i++)
        if (form[i] == 'd' ? date[i] < '0' || date[i] > '9' : date[i] != form[i])
            return false;
    found = day_of(number(date, 4), number(date + 5, 2), number(date + 8, 2));
    /* a day that there is comes back as it was typed */
    if (strcmp(bt_date_of_day(again, found), date) != 0)
        return false;
    *day = found;
    return true;
}

static void write_number(char *out, long n, int digits)
{
    while (digits-- > 0) {
        out[digits] = (char)('0' + n % 10);
        n /= 10;
    }
}

const char *bt_date_of_day(char out[BT_DATE_ROOM], long day)
{
    long year, month, rest;

    out[0] = '\0';
    if (day < day_of(0, 1, 1) || day > day_of(9999, 12, 31))
        return out;
    /* 146097 days in 400 years; the guess is at most one year off */
    year = ((day + epoch) * 400) / 146097;
    while (before_year(year) > day + epoch)
        year--;
    while (before_year(year + 1) <= day + epoch)
        year++;
    rest = day + epoch - before_year(year);
    month = (5 * rest + 2) / 153;
    rest -= before_month(month);
    if (month >= 10)
        year++;
    month = month >= 10 ? month - 9 : month + 3;
    memcpy(out, "0000-00-00", BT_DATE_ROOM);
    write_number(out, year, 4);
    write_number(out + 5, month, 2);
    write_number(out + 8, rest + 1, 2);
    return out;
}
