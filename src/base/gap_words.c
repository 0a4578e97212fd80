/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/gap_words.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define WENT " (the first went, the second did not), "

const char *bt_gap_forms(enum bt_unit unit)
{
    switch (unit) {
    case BT_UNIT_IN:
        return "0 (touches), 0.012, 0.012..0.014" WENT
               "<0.0015 (nothing went), 1/64 or paper+card";
    case BT_UNIT_THOU:
        return "0 (touches), 12, 12..14" WENT "<1.5 (nothing went) or paper+card";
    case BT_UNIT_MM:
        return "0 (touches), 0.30, 0.25..0.30" WENT
               "<0.05 (nothing went) or paper+card";
    default:
        return "0 mm (touches), 0.30 mm, 0.25..0.30 mm" WENT
               "<0.05 mm (nothing went) or paper+card";
    }
}

/* ---- the pieces of a misspelt gap ---- */

enum { PIECES = 12 };

struct pieces {
    size_t nnumber, nword;
    struct text {
        const char *at;
        size_t length;
    } number[PIECES], word[PIECES];
};

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* Bytes of a number such as 12, 0.012, .012 or 1/64; 0 where there is none. */
static size_t number_at(const char *at, const char *end)
{
    const char *from = at;

    while (at < end && digit(*at))
        at++;
    if (end - at > 1 && *at == '.' && digit(at[1]))
        for (at++; at < end && digit(*at);)
            at++;
    else if (at > from && end - at > 1 && *at == '/' && digit(at[1]))
        for (at++; at < end && digit(*at);)
            at++;
    return (size_t)(at - from);
}

/* Numbers, words and single marks in turn; false where there are too many. */
static bool take_apart(const struct bt_gap_text *text, struct pieces *p)
{
    const char *at = text->text, *end = at + text->length;

    *p = (struct pieces){0};
    while (at < end) {
        size_t n = number_at(at, end);
        bool number;
        /* `4...6`: the point belongs to the others, not to the 6. */
        if (*at == '.' && at > text->text && at[-1] == '.')
            n = 0;
        number = n > 0;
        if (*at == ' ' || *at == '\t') {
            at++;
            continue;
        }
        if (!number)
            for (n = 1; letter(*at) && at + n < end && letter(at[n]);)
                n++;
        if ((number ? p->nnumber : p->nword) == PIECES)
            return false;
        if (number)
            p->number[p->nnumber++] = (struct text){at, n};
        else
            p->word[p->nword++] = (struct text){at, n};
        at += n;
    }
    return true;
}

static bool is_word(const struct text *word, const char *of)
{
    size_t i = 0;

    for (; i < word->length && of[i]; i++) {
        char c = word->at[i];
        if ((c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c) != of[i])
            return false;
    }
    return i == word->length && !of[i];
}

static bool is_one_of(const struct text *word, size_t n, const char *const list[])
{
    for (size_t i = 0; i < n; i++)
        if (is_word(word, list[i]))
            return true;
    return false;
}

/* Is there a word, and are all in the list? */
static bool all_words(const struct pieces *p, size_t n, const char *const list[])
{
    for (size_t i = 0; i < p->nword; i++)
        if (!is_one_of(&p->word[i], n, list))
            return false;
    return p->nword > 0;
}

/* ---- what was meant ---- */

static bool between(const struct pieces *p, char out[BT_MEANT_ROOM])
{
    static const char *const list[] = {"to",
                                       "goes",
                                       "go",
                                       "went",
                                       "not",
                                       "did",
                                       "does",
                                       "no",
                                       "and",
                                       "but",
                                       "yes",
                                       "between",
                                       "-",
                                       ".",
                                       ",",
                                       ";",
                                       ":",
                                       "/",
                                       "~",
                                       "\xE2\x80\x93",
                                       "\xE2\x80\x94",
                                       "\xE2\x80\xA6"};

    if (p->nnumber != 2 || (p->nword > 0 && !all_words(p, COUNT(list), list)))
        return false;
    snprintf(out, BT_MEANT_ROOM, "%.*s..%.*s", (int)p->number[0].length,
             p->number[0].at, (int)p->number[1].length, p->number[1].at);
    return true;
}

static bool about(const struct pieces *p, char out[BT_MEANT_ROOM])
{
    static const char *const list[] = {"about", "approx", "approximately", "ca",
                                       "circa", "around", "roughly",       "~",
                                       ".",     "?",      "\xE2\x89\x88"};
    static const char *const less[] = {"less", "than", "below"};
    bool below = all_words(p, COUNT(less), less);

    if (p->nnumber != 1 || !(below || all_words(p, COUNT(list), list)))
        return false;
    snprintf(out, BT_MEANT_ROOM, "%s%.*s", below ? "<" : "", (int)p->number[0].length,
             p->number[0].at);
    return true;
}

static bool touches(const struct pieces *p, char out[BT_MEANT_ROOM])
{
    static const char *const list[] = {"touches", "touch", "touching", "touched",
                                       "contact", "zero",  "o"};

    if (p->nnumber || p->nword != 1 || !is_one_of(&p->word[0], COUNT(list), list))
        return false;
    snprintf(out, BT_MEANT_ROOM, "0");
    return true;
}

/* `2 paper`, `3 x card`, `2 papers`. */
static bool several(const struct bt_gap_text *text, const struct pieces *p,
                    char out[BT_MEANT_ROOM])
{
    static const char *const times[] = {"x", "*"};
    const struct text *word = p->nword ? &p->word[p->nword - 1] : NULL;
    const char *name = NULL;
    int n = 0, used = 0;

    if (p->nnumber != 1 || p->number[0].length != 1 || p->number[0].at != text->text ||
        !(p->nword == 1 ||
          (p->nword == 2 && is_one_of(&p->word[0], COUNT(times), times))))
        return false;
    for (size_t i = 0; i < text->nfeeler && !name; i++) {
        size_t length = strlen(text->feeler[i].name);
        bool plural = word->length == length + 1 && word->at[length] == 's';
        if ((word->length == length || plural) &&
            memcmp(word->at, text->feeler[i].name, length) == 0)
            name = text->feeler[i].name;
    }
    n = p->number[0].at[0] - '0';
    if (!name || n < 2 || (size_t)n * (strlen(name) + 1) >= BT_MEANT_ROOM)
        return false;
    for (int i = 0; i < n; i++)
        used += snprintf(out + used, (size_t)(BT_MEANT_ROOM - used), "%s%s",
                         i ? "+" : "", name);
    return true;
}

/* Letters that look like digits: `0.01O`, `0.0l2`. */
static bool letters_for_digits(const struct bt_gap_text *text, char out[BT_MEANT_ROOM])
{
    bool any = false, letters = false;

    if (text->length >= BT_MEANT_ROOM)
        return false;
    for (size_t i = 0; i < text->length; i++) {
        char c = text->text[i];
        out[i] = c == 'O' || c == 'o' ? '0' : c == 'l' || c == 'I' ? '1' : c;
        letters |= out[i] != c;
        any |= digit(c);
        if (!digit(out[i]) && (!c || !strchr(".+</", c)))
            return false;
    }
    out[text->length] = '\0';
    return any && letters;
}

/* What is offered must be a gap itself. */
static bool reads(const struct bt_gap_text *text, const char *meant)
{
    struct bt_gap gap;

    return bt_gap_parse(meant, strlen(meant), text->unit, text->comma, text->nfeeler,
                        text->feeler, &gap, NULL) == BT_OK;
}

bool bt_gap_meant(const struct bt_gap_text *text, char out[BT_MEANT_ROOM])
{
    struct pieces p;

    if (text->length > BT_MEANT_ROOM / 2)
        return false;
    if (letters_for_digits(text, out))
        return reads(text, out);
    return take_apart(text, &p) &&
           (between(&p, out) || about(&p, out) || touches(&p, out) ||
            several(text, &p, out)) &&
           reads(text, out);
}

bool bt_gap_in_thou(const char *text, size_t length, enum bt_unit unit,
                    char out[BT_MEANT_ROOM])
{
    bool whole = true;
    struct bt_gap gap;

    if (unit != BT_UNIT_IN && unit != BT_UNIT_MM)
        return false;
    for (size_t i = 0; i < length; i++) {
        whole = whole && digit(text[i]);
        if (!digit(text[i]) && (!text[i] || !strchr(".+<", text[i])))
            return false;
    }
    /* The digits are those of a gap where they count thou, or hundredths of a mm. */
    if (length > BT_MEANT_ROOM / 4)
        return false;
    if (unit == BT_UNIT_MM) {
        if (!whole || length > 3)
            return false;
        snprintf(out, BT_MEANT_ROOM, "did you mean %s%.*s.%.2s mm?",
                 length < 3 ? "0" : "", (int)(length - 2), text, text + length - 2);
        return true;
    }
    if (bt_gap_parse(text, length, BT_UNIT_THOU, false, 0, NULL, &gap, NULL) != BT_OK)
        return false;
    if (whole && length <= 3)
        snprintf(out, BT_MEANT_ROOM, "did you mean %.*s thou (0.%.*s%.*s in)?",
                 (int)length, text, (int)(3 - length), "00", (int)length, text);
    else
        snprintf(out, BT_MEANT_ROOM, "did you mean %.*s thou?", (int)length, text);
    return true;
}
