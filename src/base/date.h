/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_DATE_H
#define BENCHTRUE_BASE_DATE_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Is it a date as spreadsheets write one in place of a fraction?  `16-Mar`,
 * `Mar-16`, `16. Mrz`, `16-Mar-26`, `3/16/2026`, `16.03.2026`, `16-03-2026`,
 * `2026-03-16`, each with or without a time of day after it.  Months by their
 * English or German names, written out or cut to three letters.
 */
bool bt_is_date(const char *text, size_t length);

#endif
