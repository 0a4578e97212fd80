/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_TEXT_READER_H
#define BENCHTRUE_INGEST_TEXT_READER_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/ingest/file.h"

/*
 * What readers of text files have in common: the file and its line, its faults, and
 * when to stop.  Set name and faults, the rest 0.
 */
struct bt_text_reader {
    const char *name; /* how messages call the file */
    struct bt_faults *faults;
    size_t nfault;         /* of this file */
    enum bt_status status; /* of the last fault, BT_ENOMEM for good */
    struct bt_line line;   /* being read */
};

/* Reads a text that bt_text_check has passed, from byte `start` on. */
typedef void bt_text_consumer(void *consumer, const char *text, size_t length,
                              size_t start);

/* Check text[length] and have it read.  Returns the reader's status. */
enum bt_status bt_text_parse(struct bt_text_reader *in, const char *text, size_t length,
                             bt_text_consumer *read, void *consumer);

/* The same for a file. */
enum bt_status bt_text_read(struct bt_text_reader *in, const char *path,
                            bt_text_consumer *read, void *consumer);

/* As bt_text_line; false, too, once memory or the faults of this file ran out. */
bool bt_text_next(struct bt_text_reader *in, const char *text, size_t length,
                  size_t *at);

/* Count a fault just added with `added` returned; number BT_FAULTS_PER_FILE adds the
 * one that says that the rest was not read. */
void bt_text_fault(struct bt_text_reader *in, enum bt_status added);

/* Say, once, that memory ran out. */
void bt_text_no_memory(struct bt_text_reader *in);

#endif
