/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>

#include <libxml/HTMLparser.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/document_html.h"
#include "report/document_build.h"
#include "support/memory.h"

/* A figure of one rectangle. */
static enum bt_status draw(const void *input, enum bt_figure_format format,
                           struct bt_figure_bytes *out, struct bt_error *err)
{
    static const char svg[] = "<svg xmlns=\"http://www.w3.org/2000/svg\"/>";

    (void)input;
    cr_expect_eq(format, BT_FIGURE_SVG);
    out->bytes = (unsigned char *)bt_copy_text(svg, sizeof svg - 1);
    out->length = sizeof svg - 1;
    return out->bytes
               ? BT_OK
               : bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static void build(struct document_build *b)
{
    document_heading(b, 2, "Form & fit");
    document_verdict(b, "Within <limits>.");
    document_text(b, kept_say(&b->kept, "%d words", 2));
    document_table_begin(b, 2, 2);
    document_cell(b, "figure");
    document_cell(b, "value");
    document_cell(b, "cup");
    document_cell(b, "\"0.5\"");
    document_list_begin(b, "Cautions:");
    document_cell(b, "ears");
    document_page(b);
    document_heading(b, 3, "Map");
    document_figure(b, "The map", draw, NULL);
}

static enum bt_status write_it(const char *title, struct bt_buffer *out,
                               struct bt_error *err)
{
    struct document_build b = {0};
    struct bt_document document = {
        .title = title, .subtitle = "", .date = "", .foot = "benchtrue\njob.ini"};
    enum bt_status status;

    build(&b);
    status = document_done(&b, &document);
    if (status == BT_OK)
        status = bt_document_html(&document, out, err);
    document_build_clear(&b);
    return status;
}

static void expect_in(const char *text, const char *part)
{
    cr_expect_not_null(strstr(text, part), "no %s in\n%s", part, text);
}

Test(document_html, texts_are_escaped_and_nothing_is_lost)
{
    struct bt_buffer out = {0};

    cr_assert_eq(write_it("Top <script>alert(1)</script>", &out, NULL), BT_OK);
    expect_in(out.text, "<!DOCTYPE html>\n<html lang=\"en\">");
    expect_in(out.text, "<h1>Top &lt;script&gt;alert(1)&lt;/script&gt;</h1>");
    expect_in(out.text, "<h2>Form &amp; fit</h2>");
    expect_in(out.text, "<p class=\"verdict\">Within &lt;limits&gt;.</p>");
    expect_in(out.text, "<p>2 words</p>");
    expect_in(out.text, "<th scope=\"col\">figure</th>");
    expect_in(out.text, "<th scope=\"col\" class=\"n\">value</th>");
    expect_in(out.text, "<td class=\"n\">\"0.5\"</td>");
    expect_in(out.text, "<p>Cautions:</p><ul><li>ears</li></ul>");
    expect_in(out.text, "<h3 class=\"page\">Map</h3>");
    expect_in(out.text, "alt=\"The map\"");
    expect_in(out.text, "<figcaption>The map</figcaption>");
    expect_in(out.text, "<footer>benchtrue\njob.ini</footer>");
    cr_expect_null(strstr(out.text, "<script"));
    cr_expect_null(strstr(out.text, "http:"), "it needs nothing from elsewhere");
    bt_buffer_clear(&out);
}

Test(document_html, is_utf_8_whatever_it_is_given)
{
    struct bt_buffer out = {0};

    cr_assert_eq(write_it("17\xC2\xBD in \x01 \xFF", &out, NULL), BT_OK);
    expect_in(out.text, "<meta charset=\"utf-8\">");
    cr_expect_null(strstr(out.text, "\x01"));
    cr_expect_null(strstr(out.text, "\xFF"));
    bt_buffer_clear(&out);
}

Test(document_html, can_be_read_by_a_parser)
{
    struct bt_buffer out = {0};
    htmlDocPtr doc;

    cr_assert_eq(write_it("Top", &out, NULL), BT_OK);
    doc = htmlReadMemory(out.text, (int)out.length, NULL, "utf-8",
                         HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING);
    cr_assert_not_null(doc);
    cr_expect_str_eq((const char *)xmlDocGetRootElement(doc)->name, "html");
    xmlFreeDoc(doc);
    xmlCleanupParser();
    bt_buffer_clear(&out);
}

Test(document_html, fails_cleanly_at_every_allocation_of_ours)
{
    enum bt_status status = BT_ENOMEM;
    size_t k = 1;

    for (; status != BT_OK; k++) {
        struct bt_buffer out = {0};

        cr_assert_lt(k, 500);
        memory_fail_at(k);
        status = write_it("Top", &out, NULL);
        cr_assert(status == BT_OK || status == BT_ENOMEM);
        bt_buffer_clear(&out);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    memory_fail_at(0);
    cr_expect_gt(k, 5);
}
