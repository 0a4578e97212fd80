/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/utf8.h"

#include <stdbool.h>
#include <string.h>

/* Bytes that a first byte asks for, 0 where it can begin no character. */
static size_t wanted(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first >= 0xC2 && first < 0xE0)
        return 2;
    if (first >= 0xE0 && first < 0xF0)
        return 3;
    if (first >= 0xF0 && first < 0xF5)
        return 4;
    return 0;
}

size_t bt_utf8_next(const char *text, size_t length, uint32_t *code)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    unsigned char first = (unsigned char)text[0];
    size_t n = wanted(first), i;
    uint32_t c = n < 2 ? first : first & (0xFFu >> (n + 1));

    *code = BT_UTF8_BAD;
    if (n == 0 || n > length)
        return 1;
    for (i = 1; i < n; i++) {
        unsigned char next = (unsigned char)text[i];
        if ((next & 0xC0) != 0x80)
            return 1;
        c = c << 6 | (next & 0x3Fu);
    }
    if (c < least[n] || c > 0x10FFFF || (c >= 0xD800 && c < 0xE000))
        return 1;
    *code = c;
    return n;
}

size_t bt_utf8_count(const char *text, size_t length)
{
    size_t n = 0, at = 0;
    uint32_t code;

    while (at < length) {
        at += bt_utf8_next(text + at, length - at, &code);
        n++;
    }
    return n;
}

size_t bt_blank(const char *text, size_t length)
{
    uint32_t code;
    size_t n;

    if (length == 0)
        return 0;
    if ((unsigned char)text[0] < 0x80)
        return text[0] == ' ' || (text[0] >= '\t' && text[0] <= '\r');
    n = bt_utf8_next(text, length, &code);
    if (code == 0xA0 || (code >= 0x2000 && code <= 0x200B) || code == 0x202F ||
        code == 0x205F || code == 0x3000 || code == 0xFEFF)
        return n;
    return 0;
}

void bt_trim(const char **text, size_t *length)
{
    const char *from = *text, *end = *text + *length, *at, *last;
    size_t n;
    uint32_t code;

    while ((n = bt_blank(from, (size_t)(end - from))) > 0)
        from += n;
    while (end > from) {
        /* Back to the first byte of the last character, four bytes at most. */
        for (last = end - 1; last > from && end - last < 4; last--)
            if (((unsigned char)*last & 0xC0) != 0x80)
                break;
        at = last;
        n = bt_blank(at, (size_t)(end - at));
        if (n == 0 || at + bt_utf8_next(at, (size_t)(end - at), &code) != end)
            break;
        end = at;
    }
    *text = from;
    *length = (size_t)(end - from);
}

static bool harmless(uint32_t code)
{
    if (code < 0x20 || (code >= 0x7F && code < 0xA0) || code == BT_UTF8_BAD)
        return false;
    if (code == 0x061C || code == 0xFEFF)
        return false;
    if (code >= 0x200B && code <= 0x200F)
        return false;
    return !(code >= 0x2028 && code <= 0x202E) && !(code >= 0x2060 && code <= 0x206F);
}

const char *bt_quote(char out[BT_QUOTE_ROOM], const char *text, size_t length,
                     size_t max)
{
    size_t at = 0, to = 0, shown = 0, n;
    uint32_t code;

    if (max > BT_QUOTE_MAX)
        max = BT_QUOTE_MAX;
    for (; at < length && shown < max; at += n, shown++) {
        n = bt_utf8_next(text + at, length - at, &code);
        if (harmless(code)) {
            memcpy(out + to, text + at, n);
            to += n;
        } else {
            out[to++] = '?';
        }
    }
    memcpy(out + to, at < length ? "..." : "", at < length ? 4 : 1);
    return out;
}
