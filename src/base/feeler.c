/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/feeler.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "base/distance.h"
#include "base/gap_words.h"
#include "base/utf8.h"
#include "benchtrue/base/print.h"

/* Most characters of one name among several in a message. */
enum { NAME_MAX_SHOWN = 30 };

/* A piece of the gap's text; the messages' columns count from the gap's own. */
struct piece {
    const char *at, *end;
};

struct gap_reader {
    const char *text, *end;
    bool comma;
    enum bt_unit unit; /* of the column */
    size_t nfeeler;
    const struct bt_feeler *feeler;
    struct bt_error *err;
};

struct stack {
    double mm, step; /* step 0: only names */
    enum bt_digits digits;
    int odd;
    bool metric, inch;
};

static struct piece trimmed(const char *at, const char *end)
{
    struct piece p = {at, end};
    size_t length = (size_t)(end - at);

    bt_trim(&p.at, &length);
    p.end = p.at + length;
    return p;
}

/* The character of the text at which a byte of it stands; never past the last. */
static size_t column_of(const struct gap_reader *g, const char *at)
{
    size_t before = bt_utf8_count(g->text, (size_t)(at - g->text));

    return before + (at < g->end || before == 0);
}

/* Refuse what stands in p; where it is empty, the whole gap is quoted. */
static enum bt_status refuse(const struct gap_reader *g, struct piece p,
                             const char *what, const char *fix)
{
    char quote[BT_QUOTE_ROOM];
    size_t column = column_of(g, p.at);

    if (p.at == p.end)
        p = trimmed(g->text, g->end);
    return bt_error_set(g->err, BT_EINPUT, 0, column, "%s: '%s', %s", what,
                        bt_quote(quote, p.at, (size_t)(p.end - p.at), BT_QUOTE_MAX),
                        fix);
}

/* What stands at p makes the whole no gap. */
static enum bt_status not_a_gap(const struct gap_reader *g, struct piece p)
{
    struct piece all = trimmed(g->text, g->end);
    char quote[BT_QUOTE_ROOM], meant[BT_MEANT_ROOM];
    const struct bt_gap_text text = {
        all.at, (size_t)(all.end - all.at), g->unit, g->comma, g->nfeeler, g->feeler};

    bt_quote(quote, text.text, text.length, BT_QUOTE_MAX);
    if (g->err && bt_gap_meant(&text, meant))
        return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, p.at),
                            "not a gap: '%s', did you mean %s?", quote, meant);
    return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, p.at),
                        "not a gap: '%s', write %s", quote, bt_gap_forms(g->unit));
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* A word of letters, digits, `_` and `-` that begins with a letter.  Fractions,
 * signs and marks beyond ASCII belong to quantities: a letter beyond ASCII is
 * one that begins no number. */
static bool is_name(struct piece p)
{
    static const char *const no_letters[] = {"\xC2", "\xE2", "\xE3\x80\x80"};
    const char *at;
    size_t i, n;

    if (p.at == p.end || !is_letter(*p.at))
        return false;
    for (i = 0; i < sizeof no_letters / sizeof no_letters[0]; i++) {
        n = strlen(no_letters[i]);
        if ((size_t)(p.end - p.at) >= n && memcmp(p.at, no_letters[i], n) == 0)
            return false;
    }
    for (at = p.at; at < p.end; at++)
        if (!is_letter(*at) && !(*at >= '0' && *at <= '9') && *at != '_' && *at != '-')
            return false;
    return true;
}

/* The name that is most like it; NULL where none is near. */
static const char *nearest_name(const struct gap_reader *g, struct piece p)
{
    size_t d, best = SIZE_MAX, length = (size_t)(p.end - p.at);
    const char *nearest = NULL;

    for (size_t i = 0; i < g->nfeeler; i++) {
        d = bt_word_distance(p.at, length, g->feeler[i].name,
                             strlen(g->feeler[i].name));
        if (d < best) {
            best = d;
            nearest = g->feeler[i].name;
        }
    }
    return nearest;
}

static enum bt_status refuse_name(const struct gap_reader *g, struct piece p)
{
    const char *near = nearest_name(g, p);
    char name[BT_QUOTE_ROOM], quote[BT_QUOTE_ROOM], meant[BT_MEANT_ROOM];
    struct piece all = trimmed(g->text, g->end);
    const struct bt_gap_text text = {
        all.at, (size_t)(all.end - all.at), g->unit, g->comma, g->nfeeler, g->feeler};

    if (!near && g->err && bt_gap_meant(&text, meant))
        return not_a_gap(g, p);
    bt_quote(name, p.at, (size_t)(p.end - p.at), NAME_MAX_SHOWN);
    if (near)
        return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, p.at),
                            "a feeler that nothing defines: '%s', did you mean '%s'?",
                            name, bt_quote(quote, near, strlen(near), NAME_MAX_SHOWN));
    return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, p.at),
                        "a feeler that nothing defines: '%s', define it under "
                        "[feelers] in the job.ini of its folder, or write %s",
                        name, bt_gap_forms(g->unit));
}

static const struct bt_feeler *known(const struct gap_reader *g, struct piece p)
{
    size_t i, length = (size_t)(p.end - p.at);

    for (i = 0; i < g->nfeeler; i++)
        if (strlen(g->feeler[i].name) == length &&
            memcmp(g->feeler[i].name, p.at, length) == 0)
            return &g->feeler[i];
    return NULL;
}

/* Words of bt_quantity_parse that say no more than that it cannot be read. */
static bool says_little(const char *message)
{
    static const char *const words[] = {
        "not a length:", "two numbers:", "two quantities:", "not a fraction",
        "a hexadecimal number:"};

    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strncmp(message, words[i], strlen(words[i])) == 0)
            return true;
    return false;
}

bool bt_rule_has(int denominator)
{
    return denominator >= 1 && denominator <= 64 &&
           (denominator & (denominator - 1)) == 0;
}

bool bt_rule_fraction_in_thou(const struct bt_quantity *q)
{
    return q->unit == BT_UNIT_THOU && q->denominator > 1 &&
           bt_rule_has(q->denominator) && q->value > 0 &&
           q->value < bt_unit_to_inside(1, BT_UNIT_THOU);
}

static enum bt_status refuse_thou(const struct gap_reader *g, struct piece p,
                                  const struct bt_quantity *q)
{
    double over = bt_unit_from_inside(q->value, BT_UNIT_THOU) * q->denominator;
    char fix[48];

    snprintf(fix, sizeof fix, "write %d/%d in", (int)lround(over), q->denominator);
    return refuse(g, p, "a fraction of a thousandth of an inch", fix);
}

/* The finest of each way of typing; a fraction is no surer for a decimal beside it. */
static void add_digits(struct stack *s, enum bt_digits digits, double step)
{
    bool fraction = digits == BT_DIGITS_FRACTION;

    if (s->digits == BT_DIGITS_NONE || (fraction && s->digits != BT_DIGITS_FRACTION))
        s->step = step;
    else if (fraction == (s->digits == BT_DIGITS_FRACTION) && step < s->step)
        s->step = step;
    if (digits > s->digits)
        s->digits = digits;
}

static void add_quantity(struct stack *s, const struct bt_quantity *q)
{
    bool inch =
        q->unit == BT_UNIT_IN || q->unit == BT_UNIT_FT || q->unit == BT_UNIT_THOU;

    s->mm += q->value;
    add_digits(s,
               q->denominator ? BT_DIGITS_FRACTION
               : q->whole     ? BT_DIGITS_WHOLE
                              : BT_DIGITS_POINT,
               q->step);
    if (inch && q->unit != BT_UNIT_THOU && q->denominator &&
        !bt_rule_has(q->denominator))
        s->odd = q->denominator;
    if (q->value != 0) {
        s->inch |= inch;
        s->metric |= !inch;
    }
}

static enum bt_status read_feeler(const struct gap_reader *g, struct piece p,
                                  enum bt_unit bare, struct stack *s)
{
    const struct bt_feeler *named;
    size_t length = (size_t)(p.end - p.at);
    struct bt_error err = {.code = BT_OK};
    struct bt_quantity q;
    enum bt_status status;

    if (is_name(p) && !bt_is_date(p.at, length)) {
        named = known(g, p);
        if (!named)
            return refuse_name(g, p);
        s->mm += named->mm;
        return BT_OK;
    }
    status = bt_quantity_parse(p.at, length, BT_DIM_LENGTH, bare, g->comma, &q, &err);
    if (status != BT_OK) {
        size_t column = err.column + column_of(g, p.at) - 1;
        if (status == BT_EINPUT && says_little(err.message)) {
            status = not_a_gap(g, p);
            if (g->err)
                g->err->column = column;
            return status;
        }
        return bt_error_set(g->err, status, err.row, column, "%s", err.message);
    }
    if (q.value < 0)
        return refuse(g, p, "a negative gap", "write 0 where the feelers touch");
    if (bt_rule_fraction_in_thou(&q))
        return refuse_thou(g, p, &q);
    add_quantity(s, &q);
    return BT_OK;
}

/* The next `+` that joins two feelers: not the sign of the first, nor that of an
 * exponent (`1e+3`). */
static const char *next_plus(const char *from, const char *at, const char *end)
{
    for (; at < end; at++) {
        struct piece before = {from, at};
        if (*at != '+')
            continue;
        if (at - from > 1 && (at[-1] == 'e' || at[-1] == 'E') &&
            ((at[-2] >= '0' && at[-2] <= '9') || at[-2] == '.'))
            continue;
        before = trimmed(before.at, before.end);
        if (before.at < before.end)
            return at;
    }
    return end;
}

/* Unit typed at the end of a stack; BT_UNIT_NONE where there is none. */
static enum bt_unit end_unit(const struct gap_reader *g, struct piece stack)
{
    const char *from = stack.at, *plus;
    struct bt_quantity q;
    struct piece last;

    while ((plus = next_plus(from, from, stack.end)) < stack.end)
        from = plus + 1;
    last = trimmed(from, stack.end);
    if (bt_quantity_parse(last.at, (size_t)(last.end - last.at), BT_DIM_LENGTH,
                          BT_UNIT_MM, g->comma, &q, NULL) != BT_OK)
        return BT_UNIT_NONE;
    return q.unit_typed ? q.unit : BT_UNIT_NONE;
}

/* Nobody fills an inch with leaves: most likely thou were typed for inches. */
static enum bt_status refuse_wide(const struct gap_reader *g, double mm)
{
    struct piece all = trimmed(g->text, g->end);
    size_t n = (size_t)(all.end - all.at);
    char quote[BT_QUOTE_ROOM], wide[BT_PRINT_ROOM], meant[BT_MEANT_ROOM];
    const char *fix = bt_gap_in_thou(all.at, n, g->unit, meant)
                          ? meant
                          : "at most 1 in (25.4 mm) is believed: is the unit right?";

    if (g->unit == BT_UNIT_IN || g->unit == BT_UNIT_THOU || g->unit == BT_UNIT_FT)
        bt_print_length(wide, mm, 0, BT_SYSTEM_IN, BT_LENGTH_RULE);
    else
        bt_print_length(wide, mm, 0, BT_SYSTEM_MM, BT_LENGTH_RULE);
    return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, all.at),
                        "a gap of %s: '%s', %s", wide,
                        bt_quote(quote, all.at, n, BT_QUOTE_MAX), fix);
}

static enum bt_status read_stack(const struct gap_reader *g, struct piece stack,
                                 enum bt_unit bare, struct stack *out)
{
    enum bt_unit own = end_unit(g, stack);
    const char *from = stack.at, *plus;
    enum bt_status status;
    struct piece p;

    *out = (struct stack){.digits = BT_DIGITS_NONE};
    do {
        plus = next_plus(stack.at, from, stack.end);
        p = trimmed(from, plus);
        if (p.at == p.end)
            return refuse(g, p, "a feeler is missing",
                          "write a length or a name on each side of + and ..");
        status = read_feeler(g, p, own != BT_UNIT_NONE ? own : bare, out);
        if (status != BT_OK)
            return status;
        from = plus + 1;
    } while (plus < stack.end);
    if (out->mm <= BT_GAP_MOST)
        return BT_OK;
    return refuse_wide(g, out->mm);
}

/* The `..` of an interval, else the end. */
static const char *find_dots(struct piece p)
{
    const char *at;

    for (at = p.at; p.end - at > 1; at++)
        if (at[0] == '.' && at[1] == '.')
            return at;
    return p.end;
}

static void take_typing(struct bt_gap *gap, const struct stack *s)
{
    gap->step = s->step;
    gap->digits = s->digits;
    gap->odd = s->odd;
    gap->metric = s->metric;
    gap->inch = s->inch;
}

static enum bt_status read_interval(const struct gap_reader *g, struct piece all,
                                    const char *dots, enum bt_unit unit,
                                    struct bt_gap *gap)
{
    struct piece first = trimmed(all.at, dots), second = trimmed(dots + 2, all.end);
    struct piece rest = {dots + 2, all.end};
    struct stack low, high;
    enum bt_unit end;
    enum bt_status status;

    if ((dots + 2 < all.end && dots[2] == '.') || find_dots(rest) < rest.end) {
        rest.at = dots;
        return not_a_gap(g, rest);
    }
    if (first.at == first.end)
        return refuse(g, all, "an interval without its beginning",
                      "write the leaf that went before the two points, or < and the "
                      "thinnest one where none went");
    if (second.at == second.end)
        return refuse(g, all, "an interval without its end",
                      "write the next leaf, which did not go, after the two points");
    end = end_unit(g, second);
    status = read_stack(g, first, end != BT_UNIT_NONE ? end : unit, &low);
    if (status == BT_OK)
        status = read_stack(g, second, unit, &high);
    if (status != BT_OK)
        return status;
    if (!(low.mm < high.mm))
        return refuse(
            g, all, "an interval that does not grow",
            "write the gap that went first, then the thicker one that did not");
    *gap = (struct bt_gap){.kind = BT_GAP_INTERVAL, .low = low.mm, .high = high.mm};
    if (high.digits != BT_DIGITS_NONE)
        add_digits(&low, high.digits, high.step);
    low.odd = low.odd ? low.odd : high.odd;
    low.metric |= high.metric;
    low.inch |= high.inch;
    take_typing(gap, &low);
    return BT_OK;
}

static enum bt_status read_below(const struct gap_reader *g, struct piece all,
                                 enum bt_unit unit, struct bt_gap *gap)
{
    struct piece p = trimmed(all.at + 1, all.end);
    struct stack high;
    enum bt_status status;

    if (find_dots(p) < p.end)
        return refuse(g, all, "an interval after <",
                      "write one of the two, such as <0.0015 in or 0.004..0.006 in");
    status = read_stack(g, p, unit, &high);
    if (status != BT_OK)
        return status;
    if (!(high.mm > 0))
        return refuse(g, all, "a gap below 0",
                      "write the thinnest feeler, which did not go, after <");
    *gap = (struct bt_gap){.kind = BT_GAP_BELOW, .high = high.mm};
    take_typing(gap, &high);
    return BT_OK;
}

static enum bt_status read_gap(const struct gap_reader *g, enum bt_unit unit,
                               struct bt_gap *gap)
{
    struct piece all = trimmed(g->text, g->end);
    const char *dots;
    struct stack one;
    enum bt_status status;

    if (all.at == all.end)
        return refuse(g, all, "empty where there should be a gap",
                      "write one such as 0.2 mm or 0.004..0.006 in");
    if (*all.at == '<')
        return read_below(g, all, unit, gap);
    dots = find_dots(all);
    if (dots < all.end)
        return read_interval(g, all, dots, unit, gap);
    status = read_stack(g, all, unit, &one);
    if (status != BT_OK)
        return status;
    *gap = (struct bt_gap){.kind = BT_GAP_EXACT, .low = one.mm, .high = one.mm};
    take_typing(gap, &one);
    return BT_OK;
}

enum bt_status bt_gap_parse(const char *text, size_t length, enum bt_unit unit,
                            bool decimal_comma, size_t nfeeler,
                            const struct bt_feeler feeler[], struct bt_gap *out,
                            struct bt_error *err)
{
    struct gap_reader g = {text, text, decimal_comma, unit, nfeeler, feeler, err};
    struct bt_gap gap;
    enum bt_status status;

    if (!out || (!text && length > 0) || (!feeler && nfeeler > 0))
        return bt_error_set(err, BT_ECALL, 0, 0, "a gap without text, names or room");
    if (unit != BT_UNIT_NONE && bt_unit_dimension(unit) != BT_DIM_LENGTH)
        return bt_error_set(err, BT_ECALL, 0, 0,
                            "the unit of gaps is not one of length");
    if (!text)
        g.text = "";
    g.end = g.text + length;
    status = read_gap(&g, unit, &gap);
    if (status == BT_OK)
        *out = gap;
    return status;
}

struct bt_gap bt_gap_of_quantity(const struct bt_quantity *q)
{
    struct bt_gap gap = {.kind = BT_GAP_EXACT, .low = q->value, .high = q->value};
    struct stack one = {.digits = BT_DIGITS_NONE};

    add_quantity(&one, q);
    take_typing(&gap, &one);
    return gap;
}

double bt_gap_value(const struct bt_gap *gap)
{
    return gap->low + (gap->high - gap->low) / 2;
}

double bt_gap_u(const struct bt_gap *gap)
{
    return (gap->high - gap->low) / 2 / sqrt(3);
}
