/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/written.h"

#include <criterion/criterion.h>

#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

const char *written_text(struct bt_figure_bytes *b)
{
    unsigned char *grown = bt_mem_resize(b->bytes, b->length + 1);

    cr_assert_not_null(grown);
    b->bytes = grown;
    grown[b->length] = '\0';
    return (const char *)grown;
}

size_t written_pages(const struct bt_figure_bytes *b)
{
    static const char key[] = "/Count ";
    size_t n = strlen(key);

    for (size_t i = 0; i + n + 4 < b->length; i++)
        if (memcmp(b->bytes + i, key, n) == 0)
            return strtoul((const char *)b->bytes + i + n, NULL, 10);
    return 0;
}

/* Boxes of letters hold air above and below them: this much may be shared, mm. */
#define AIR 0.35

void written_expect_apart(page_draw *draw, const void *figure, size_t id)
{
    const struct page_size size = page_size_of(BT_PAPER_A4);
    struct page page;
    double height;

    cr_assert_eq(page_open(&page, BT_FIGURE_SVG, &size, true, "", "", NULL), BT_OK);
    height = draw(figure, &page);
    cr_assert_eq(page_status(&page, NULL), BT_OK);
    cr_expect_gt(page.nwritten, 5);
    for (size_t i = 0; i < page.nwritten; i++) {
        const struct box *a = &page.written[i].box;
        const char *text = page.words + page.written[i].text;

        cr_expect(a->x0 >= 5 && a->x1 <= PAGE_WIDTH - 5 && a->y0 >= 5 &&
                      a->y1 <= height - 5,
                  "%zu: '%s' is off the page: %.1f %.1f to %.1f %.1f of %.1f", id, text,
                  a->x0, a->y0, a->x1, a->y1, height);
        for (size_t k = 0; k < i; k++) {
            const struct box *b = &page.written[k].box;

            cr_expect(b->x0 >= a->x1 || a->x0 >= b->x1 || b->y0 >= a->y1 - AIR ||
                          a->y0 >= b->y1 - AIR,
                      "%zu: '%s' lies over '%s' at %.1f %.1f", id, text,
                      page.words + page.written[k].text, a->x0, a->y0);
        }
    }
    page_close(&page);
}
