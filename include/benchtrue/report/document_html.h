/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_DOCUMENT_HTML_H
#define BENCHTRUE_REPORT_DOCUMENT_HTML_H

#include "benchtrue/draw/document.h"
#include "benchtrue/report/buffer.h"

/*
 * A document as one HTML file that needs nothing else: no network, no script; figures
 * are SVG inside it.  It reads on a phone, and prints on A4 and Letter.  Escaped and
 * written by libxml2.
 *
 *   out  what is added to; nothing is, on error
 *
 * Returns BT_OK; what a figure returns; BT_ENOMEM.  Memory that libxml2 takes itself
 * does not go through bt_mem_resize.
 */
BT_API enum bt_status bt_document_html(const struct bt_document *document,
                                       struct bt_buffer *out, struct bt_error *err);

#endif
