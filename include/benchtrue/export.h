/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_EXPORT_H
#define BENCHTRUE_EXPORT_H

/*
 * Marks what the shared library shows to its users; everything else is
 * hidden, so that a private name can change without breaking a program.
 */
#if defined(__GNUC__)
#define BT_API __attribute__((visibility("default")))
#define BT_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#else
#define BT_API
#define BT_PRINTF(fmt, args)
#endif

#endif
