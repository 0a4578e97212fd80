/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/reader.h"

#include <string.h>

#include "base/utf8.h"

/* What each dimension is called in messages, and what would do. */
static const struct {
    const char *noun, *write;
} wording[] = {
    [BT_DIM_NUMBER] = {"a number", "a number such as 3 or 0.25"},
    [BT_DIM_LENGTH] = {"a length", "a number with a unit such as 12.5 mm or 17 7/8 in"},
    [BT_DIM_ANGLE] = {"an angle", "a number with a unit such as 0.25 deg"},
    [BT_DIM_SLOPE] = {"a slope", "a number with a unit such as 0.4 mm/m or 0.02 deg"},
    [BT_DIM_PERCENT] = {"a percentage", "a number with a unit such as 45 %"},
    [BT_DIM_TEMPERATURE] = {"a temperature",
                            "a number with a unit such as 21 C or 70 F"},
    [BT_DIM_FORCE] = {"a force", "a number with a unit such as 1050 lbf or 4.7 kN"},
    [BT_DIM_PRESSURE] = {"a pressure", "a number with a unit such as 150 psi or 1 MPa"},
    [BT_DIM_TIME] = {"a time", "a number with a unit such as 3 d or 2 h"},
    [BT_DIM_DENSITY] = {"a density", "a number with a unit such as 680 kg/m3"},
};

size_t bt_left(const struct bt_reader *r)
{
    return (size_t)(r->end - r->at);
}

bool bt_digit_at(const struct bt_reader *r)
{
    return r->at < r->end && *r->at >= '0' && *r->at <= '9';
}

bool bt_skip_blanks(struct bt_reader *r)
{
    const char *from = r->at;
    size_t n;

    while ((n = bt_blank(r->at, bt_left(r))) > 0)
        r->at += n;
    return r->at > from;
}

/* Step over one of the listed pieces of text if it comes next. */
bool bt_skip(struct bt_reader *r, size_t n, const char *const pieces[])
{
    size_t i, length;

    for (i = 0; i < n; i++) {
        length = strlen(pieces[i]);
        if (length <= bt_left(r) && memcmp(r->at, pieces[i], length) == 0) {
            r->at += length;
            return true;
        }
    }
    return false;
}

/* Refuse the whole text, with the place where reading stopped.  fix NULL: what
 * is usual for the dimension. */
enum bt_status bt_refuse(const struct bt_reader *r, const char *what, const char *fix)
{
    size_t before = bt_utf8_count(r->text, (size_t)(r->at - r->text));
    size_t all = before + bt_utf8_count(r->at, bt_left(r));
    const char *text = r->text;
    size_t length = (size_t)(r->end - r->text);
    char quote[BT_QUOTE_ROOM];

    if (!r->err) /* a caller that only tries should not pay for a message */
        return BT_EINPUT;
    bt_trim(&text, &length);
    return bt_error_set(r->err, BT_EINPUT, 0,
                        before < all || !before ? before + 1 : all, "%s: '%s', %s%s",
                        what, bt_quote(quote, text, length, BT_QUOTE_MAX),
                        fix ? "" : "write ", fix ? fix : wording[r->dim].write);
}

/* `not a length`, `no length: '', ...` and the like: word and noun. */
enum bt_status bt_refuse_noun(const struct bt_reader *r, const char *word)
{
    char what[80];

    memcpy(what, word, strlen(word) + 1);
    strcat(what, wording[r->dim].noun);
    return bt_refuse(r, what, NULL);
}

enum bt_status bt_refuse_other(const struct bt_reader *r, enum bt_dimension found)
{
    char what[80];

    strcpy(what, wording[found].noun);
    strcat(what, ", not ");
    strcat(what, wording[r->dim].noun);
    return bt_refuse(r, what, NULL);
}
