/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PAPER_H
#define BENCHTRUE_DRAW_PAPER_H

/* What a PDF is printed on, upright.  ISO 216; ANSI/ASME Y14.1. */
enum bt_paper { BT_PAPER_A4, BT_PAPER_LETTER };

#endif
