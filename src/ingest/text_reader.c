/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/text_reader.h"

#include "benchtrue/base/alloc.h"

void bt_text_no_memory(struct bt_text_reader *in)
{
    if (in->status != BT_ENOMEM)
        bt_fault_add(in->faults, BT_ENOMEM, in->name, 0, 0, "%s",
                     bt_status_text(BT_ENOMEM));
    in->status = BT_ENOMEM;
}

void bt_text_fault(struct bt_text_reader *in, enum bt_status added)
{
    if (in->status != BT_ENOMEM)
        in->status = added;
    if (++in->nfault == BT_FAULTS_PER_FILE && added != BT_ENOMEM)
        bt_text_fault(in,
                      bt_fault_add(in->faults, BT_EINPUT, in->name, in->line.number, 1,
                                   "%d faults so far, the rest of the file was not "
                                   "read; correct these first",
                                   BT_FAULTS_PER_FILE));
}

bool bt_text_next(struct bt_text_reader *in, const char *text, size_t length,
                  size_t *at)
{
    return in->status != BT_ENOMEM && in->nfault <= BT_FAULTS_PER_FILE &&
           bt_text_line(text, length, at, &in->line);
}

enum bt_status bt_text_parse(struct bt_text_reader *in, const char *text, size_t length,
                             bt_text_consumer *read, void *consumer)
{
    size_t start;

    in->status = bt_text_check(text, length, in->name, &start, in->faults);
    if (in->status == BT_OK)
        read(consumer, text, length, start);
    return in->status;
}

enum bt_status bt_text_read(struct bt_text_reader *in, const char *path,
                            bt_text_consumer *read, void *consumer)
{
    size_t length;
    char *text;

    in->status = bt_file_read(path, in->name, &text, &length, in->faults);
    if (in->status == BT_OK)
        bt_text_parse(in, text, length, read, consumer);
    bt_free(text);
    return in->status;
}
