/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/feeler.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/date.h"
#include "base/distance.h"
#include "base/utf8.h"

/* Most characters of one name among several in a message. */
enum { NAME_MAX_SHOWN = 30 };

/* A piece of the gap's text; the messages' columns count from the gap's own. */
struct piece {
    const char *at, *end;
};

struct gap_reader {
    const char *text, *end;
    bool comma;
    size_t nfeeler;
    const struct bt_feeler *feeler;
    struct bt_error *err;
};

struct stack {
    double mm, step; /* step 0: only names */
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

static enum bt_status refuse_name(const struct gap_reader *g, struct piece p)
{
    char name[BT_QUOTE_ROOM], near[BT_QUOTE_ROOM];
    size_t i, d, best = SIZE_MAX, length = (size_t)(p.end - p.at);
    const char *nearest = NULL;

    for (i = 0; i < g->nfeeler; i++) {
        d = bt_word_distance(p.at, length, g->feeler[i].name,
                             strlen(g->feeler[i].name));
        if (d < best) {
            best = d;
            nearest = g->feeler[i].name;
        }
    }
    if (!nearest)
        return refuse(g, p, "a feeler that nothing defines",
                      "write a length, or define the name under [feelers]");
    return bt_error_set(g->err, BT_EINPUT, 0, column_of(g, p.at),
                        "a feeler that nothing defines: '%s', did you mean '%s'?",
                        bt_quote(name, p.at, length, NAME_MAX_SHOWN),
                        bt_quote(near, nearest, strlen(nearest), NAME_MAX_SHOWN));
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

static enum bt_status read_feeler(const struct gap_reader *g, struct piece p,
                                  enum bt_unit bare, struct stack *s)
{
    const struct bt_feeler *named;
    size_t length = (size_t)(p.end - p.at);
    struct bt_quantity q;
    enum bt_status status;

    if (is_name(p) && !bt_is_date(p.at, length)) {
        named = known(g, p);
        if (!named)
            return refuse_name(g, p);
        s->mm += named->mm;
        return BT_OK;
    }
    status = bt_quantity_parse(p.at, length, BT_DIM_LENGTH, bare, g->comma, &q, g->err);
    if (status != BT_OK) {
        if (g->err)
            g->err->column += column_of(g, p.at) - 1;
        return status;
    }
    if (q.value < 0)
        return refuse(g, p, "a negative gap", "write 0 where the feelers touch");
    s->mm += q.value;
    if (!(s->step > 0 && s->step <= q.step))
        s->step = q.step;
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

static enum bt_status read_stack(const struct gap_reader *g, struct piece stack,
                                 enum bt_unit bare, struct stack *out)
{
    enum bt_unit own = end_unit(g, stack);
    const char *from = stack.at, *plus;
    enum bt_status status;
    struct piece p;

    *out = (struct stack){0, 0};
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
    if (out->mm <= DBL_MAX)
        return BT_OK;
    return refuse(g, stack, "too large a gap", "write one below 1e300");
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
        return refuse(
            g, rest, "not an interval",
            "write two gaps with two points between, such as 0.004..0.006 in");
    }
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
    gap->kind = BT_GAP_INTERVAL;
    gap->low = low.mm;
    gap->high = high.mm;
    gap->step =
        high.step > 0 && !(low.step > 0 && low.step < high.step) ? high.step : low.step;
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
    *gap = (struct bt_gap){BT_GAP_BELOW, 0, high.mm, high.step};
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
    if (status == BT_OK)
        *gap = (struct bt_gap){BT_GAP_EXACT, one.mm, one.mm, one.step};
    return status;
}

enum bt_status bt_gap_parse(const char *text, size_t length, enum bt_unit unit,
                            bool decimal_comma, size_t nfeeler,
                            const struct bt_feeler feeler[], struct bt_gap *out,
                            struct bt_error *err)
{
    struct gap_reader g = {text, text, decimal_comma, nfeeler, feeler, err};
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

double bt_gap_value(const struct bt_gap *gap)
{
    return gap->low + (gap->high - gap->low) / 2;
}

double bt_gap_u(const struct bt_gap *gap)
{
    return (gap->high - gap->low) / 2 / sqrt(3);
}
