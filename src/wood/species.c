/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/species.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/distance.h"

/* Made from reference/shrinkage.csv, dimensional_change.csv and mechanical.csv by
 * make_species. */
static const struct bt_species table[] = {
#include "species.inc"
};

enum { COUNT = sizeof table / sizeof *table };

/* What the trade calls them; several rows of one name: sold as either.  Common
 * practice, no source. */
static const struct {
    const char *text, *name;
} trade_names[] = {
    {"brazilian cherry", "Jatoba"},
    {"eastern red cedar", "Cedar, eastern redcedar"},
    {"genuine mahogany", "Mahogany, true"},
    {"hard maple", "Maple, sugar"},
    {"honduras mahogany", "Mahogany, true"},
    {"keruing", "Apitong"},
    {"linden", "Basswood, American"},
    {"pecan", "Hickory, pecan"},
    {"poplar", "Yellow-poplar"},
    {"rock maple", "Maple, sugar"},
    {"soft maple", "Maple, red"},
    {"soft maple", "Maple, silver"},
    {"tulip poplar", "Yellow-poplar"},
    {"tulipwood", "Yellow-poplar"},
    {"western red cedar", "Cedar, western redcedar"},
};

enum { TRADE_NAMES = sizeof trade_names / sizeof *trade_names, WORDS = 16 };

size_t bt_species_count(void)
{
    return COUNT;
}

const struct bt_species *bt_species_at(size_t i)
{
    return i < COUNT ? &table[i] : NULL;
}

struct words {
    size_t n;
    const char *at[WORDS];
    size_t length[WORDS];
};

/* Not isalpha, which depends on the locale; the bytes of other letters count, so that
 * a name with one in it is not cut in two. */
static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Words beyond WORDS stay unread: no name has so many. */
static struct words split(const char *text, size_t length)
{
    struct words w = {0};
    size_t i = 0;

    while (i < length && w.n < WORDS) {
        size_t start;
        while (i < length && !is_letter(text[i]))
            i++;
        start = i;
        while (i < length && is_letter(text[i]))
            i++;
        if (i > start) {
            w.at[w.n] = text + start;
            w.length[w.n++] = i - start;
        }
    }
    return w;
}

static struct words split_text(const char *text)
{
    return split(text, strlen(text));
}

/* Whether word i of `part` is, or with `begins` begins, word j of `whole`. */
static bool word_fits(const struct words *part, size_t i, const struct words *whole,
                      size_t j, bool begins)
{
    size_t n = part->length[i];

    if (begins ? n > whole->length[j] : n != whole->length[j])
        return false;
    for (size_t k = 0; k < n; k++)
        if (lower(part->at[i][k]) != lower(whole->at[j][k]))
            return false;
    return true;
}

/* Each word of `part` is (begins) one of `whole`, and no word of it serves twice. */
static bool words_in(const struct words *part, const struct words *whole, bool begins)
{
    bool taken[WORDS] = {false};

    for (size_t i = 0; i < part->n; i++) {
        size_t j = 0;
        while (j < whole->n && (taken[j] || !word_fits(part, i, whole, j, begins)))
            j++;
        if (j == whole->n)
            return false;
        taken[j] = true;
    }
    return part->n > 0;
}

static bool same_words(const struct words *a, const struct words *b)
{
    return a->n == b->n && words_in(a, b, false);
}

static bool is_trade_name(const struct words *text, const struct bt_species *s)
{
    for (size_t i = 0; i < TRADE_NAMES; i++) {
        struct words name;
        if (strcmp(trade_names[i].name, s->name) != 0)
            continue;
        name = split_text(trade_names[i].text);
        if (same_words(text, &name))
            return true;
    }
    return false;
}

/* What it is, before the comma: `Ash` of `Ash, white`. */
static size_t head_length(const char *name)
{
    return strcspn(name, ",");
}

enum rule { WHOLE, HEAD, WORD, BEGINNING, NONE };

/* The first rule by which the text may mean the species. */
static enum rule rule_of(const struct words *text, const struct bt_species *s)
{
    struct words name = split_text(s->name), botanical = split_text(s->botanical);
    struct words head = split(s->name, head_length(s->name));

    if (same_words(text, &name) || same_words(text, &botanical) ||
        is_trade_name(text, s))
        return WHOLE;
    if (same_words(text, &head))
        return HEAD;
    if (words_in(text, &name, false) || words_in(text, &botanical, false))
        return WORD;
    if (words_in(text, &name, true) || words_in(text, &botanical, true))
        return BEGINNING;
    return NONE;
}

size_t bt_species_find(const char *text, size_t length, size_t room,
                       const struct bt_species *found[])
{
    enum rule rule[COUNT], first = NONE;
    struct words words;
    size_t n = 0;

    if (length > BT_WORD_MAX)
        return 0;
    words = split(text, length);
    for (size_t i = 0; i < COUNT; i++) {
        rule[i] = rule_of(&words, &table[i]);
        if (rule[i] < first)
            first = rule[i];
    }
    for (size_t i = 0; first != NONE && i < COUNT; i++)
        if (rule[i] == first) {
            if (n < room)
                found[n] = &table[i];
            n++;
        }
    return n;
}

/* `white ash` of `Ash, white`; false where the name has no comma or is too long. */
static bool turned(const char *name, char out[BT_WORD_MAX + 1])
{
    size_t head = head_length(name), length = strlen(name);

    if (head == length || head + 2 > length || length > BT_WORD_MAX)
        return false;
    memcpy(out, name + head + 2, length - head - 2);
    out[length - head - 2] = ' ';
    memcpy(out + length - head - 1, name, head);
    out[length - 1] = '\0';
    return true;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Of the nearest of its names, SIZE_MAX where none is near. */
static size_t distance_to(const char *text, size_t length, const struct bt_species *s)
{
    char other[BT_WORD_MAX + 1];
    size_t head = head_length(s->name);
    size_t d = bt_word_distance(text, length, s->name, strlen(s->name));

    if (turned(s->name, other))
        d = least(d, bt_word_distance(text, length, other, strlen(other)));
    d = least(d, bt_word_distance(text, length, s->name, head));
    if (s->botanical[0])
        d = least(d,
                  bt_word_distance(text, length, s->botanical, strlen(s->botanical)));
    for (size_t i = 0; i < TRADE_NAMES; i++)
        if (strcmp(trade_names[i].name, s->name) == 0)
            d = least(d, bt_word_distance(text, length, trade_names[i].text,
                                          strlen(trade_names[i].text)));
    return d;
}

size_t bt_species_near(const char *text, size_t length, size_t room,
                       const struct bt_species *found[])
{
    size_t distance[COUNT], n = 0, farthest = SIZE_MAX, words;

    words = length > BT_WORD_MAX ? 0 : split(text, length).n;
    if (words == 0)
        return 0;
    for (size_t i = 0; i < COUNT; i++) {
        distance[i] = distance_to(text, length, &table[i]);
        /* Half the letters of one word make plywood of redwood. */
        if (words == 1 && distance[i] > (length + 1) / 3)
            distance[i] = SIZE_MAX;
    }
    while (n < room) {
        size_t best = 0;
        for (size_t i = 1; i < COUNT; i++)
            if (distance[i] < distance[best])
                best = i;
        if (distance[best] == SIZE_MAX || distance[best] > farthest)
            break;
        if (n == 0)
            farthest = distance[best] + 1;
        distance[best] = SIZE_MAX;
        found[n++] = &table[best];
    }
    return n;
}
