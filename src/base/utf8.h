/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_UTF8_H
#define BENCHTRUE_BASE_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* What bt_utf8_next gives for a byte that begins no valid character. */
#define BT_UTF8_BAD UINT32_C(0xFFFD)

/*
 * The first character of text[length], length at least 1: its code goes to
 * *code, the bytes that it takes are returned (1 for a bad byte).  Overlong
 * forms, surrogates and codes over 10FFFF are bad (RFC 3629, section 4).
 */
size_t bt_utf8_next(const char *text, size_t length, uint32_t *code);

/* Characters in text[length]; each bad byte counts as one. */
size_t bt_utf8_count(const char *text, size_t length);

/* Bytes of the one blank that text[length] begins with, 0 where it begins with
 * none: ASCII blanks, no-break and typographic spaces, the byte order mark. */
size_t bt_blank(const char *text, size_t length);

/* Take blanks off both ends: *text and *length are moved inwards. */
void bt_trim(const char **text, size_t *length);

/* Most characters of the user's text that a message repeats, and room for them. */
enum { BT_QUOTE_MAX = 60, BT_QUOTE_ROOM = 4 * BT_QUOTE_MAX + 4 };

/*
 * A piece of the user's text as a message may show it: at most max (itself at
 * most BT_QUOTE_MAX) characters, then `...`; whole characters only; bad bytes,
 * control characters and marks that turn the writing direction become `?`, so
 * that a terminal shows what it is told.  Returns out.
 */
const char *bt_quote(char out[BT_QUOTE_ROOM], const char *text, size_t length,
                     size_t max);

#endif
