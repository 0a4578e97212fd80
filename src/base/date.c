/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/date.h"

#include <string.h>

#include "base/utf8.h"

/* A part of a date: a number of some digits, or a month's name. */
struct part {
    size_t digits; /* 0: a name */
    unsigned value;
};

struct cursor {
    const char *at, *end;
};

static bool digit_at(const struct cursor *c)
{
    return c->at < c->end && *c->at >= '0' && *c->at <= '9';
}

static char lower(char ch)
{
    return ch >= 'A' && ch <= 'Z' ? (char)(ch - 'A' + 'a') : ch;
}

static bool letter_at(const struct cursor *c)
{
    if (c->at == c->end)
        return false;
    return (lower(*c->at) >= 'a' && lower(*c->at) <= 'z') ||
           (unsigned char)*c->at >= 0xC3; /* umlauts and other letters */
}

/* A month written out or cut to three letters: enough that it begins like one,
 * as no unit does. */
static bool read_month(struct cursor *c)
{
    static const char *const months[] = {
        "january",  "february", "march",   "april",       "may",        "june",
        "july",     "august",   "sept",    "september",   "october",    "november",
        "december", "januar",   "februar", "m\xC3\xA4rz", "m\xC3\xA4r", "mrz",
        "mai",      "juni",     "juli",    "oktober",     "dezember"};
    const char *from = c->at;
    size_t i, n, same;

    while (letter_at(c) || (c->at > from && c->at < c->end && (*c->at & 0x80)))
        c->at++;
    n = (size_t)(c->at - from);
    for (i = 0; i < sizeof months / sizeof months[0]; i++) {
        for (same = 0; same < n && lower(from[same]) == months[i][same]; same++)
            continue;
        if (same == n && (n == 3 || n == strlen(months[i])))
            return true;
    }
    c->at = from;
    return false;
}

static bool read_part(struct cursor *c, struct part *part)
{
    *part = (struct part){0, 0};
    for (; digit_at(c) && part->digits < 5; c->at++, part->digits++)
        part->value = part->value * 10 + (unsigned)(*c->at - '0');
    return part->digits > 0 || read_month(c);
}

/* `-`, `/`, `.`, a blank, or `. `: its first character; 0 where there is none. */
static char read_separator(struct cursor *c)
{
    char found = 0;
    size_t n;

    if (c->at < c->end && strchr("-/.", *c->at) && *c->at)
        found = *c->at++;
    n = bt_blank(c->at, (size_t)(c->end - c->at));
    if (n == 0 || (found && found != '.'))
        return found;
    c->at += n;
    return found ? found : ' ';
}

static bool is_day(const struct part *p)
{
    return p->digits >= 1 && p->digits <= 2 && p->value >= 1 && p->value <= 31;
}

static bool is_year(const struct part *p)
{
    return p->digits == 2 || p->digits == 4;
}

/* Three numbers with one separator. */
static bool numeric(const struct part p[3], char separator)
{
    if (separator == ' ')
        return false;
    if (p[0].digits == 4)
        return is_day(&p[1]) && is_day(&p[2]);
    return is_day(&p[0]) && is_day(&p[1]) && is_year(&p[2]);
}

/* Nothing, or a time of day: digits and colons. */
static bool ends(struct cursor *c)
{
    if (c->at == c->end)
        return true;
    if (*c->at != 'T' && bt_blank(c->at, (size_t)(c->end - c->at)) == 0)
        return false;
    for (c->at++; c->at < c->end; c->at++)
        if (!digit_at(c) && *c->at != ':')
            return false;
    return true;
}

bool bt_is_date(const char *text, size_t length)
{
    struct cursor c = {text, text}, after_two;
    struct part p[3];
    char first, second;
    size_t names;

    bt_trim(&c.at, &length);
    c.end = c.at + length;
    if (!read_part(&c, &p[0]) || !(first = read_separator(&c)) || !read_part(&c, &p[1]))
        return false;
    names = (size_t)(p[0].digits == 0) + (p[1].digits == 0);
    after_two = c;
    second = read_separator(&c);
    if (names == 0)
        return second == first && read_part(&c, &p[2]) && p[2].digits > 0 &&
               numeric(p, first) && ends(&c);
    if (names == 2 ||
        (!is_year(&p[0]) && !is_day(&p[0]) && !is_year(&p[1]) && !is_day(&p[1])))
        return false;
    if (second && read_part(&c, &p[2]) && p[2].digits > 0)
        return ends(&c);
    return ends(&after_two);
}
