/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "cases.h"
#include "display.h"
#include "ink.h"
#include "style.h"

/* Relative luminance and contrast ratio: W3C, Web Content Accessibility Guidelines 2.1,
 * definitions of the same names; 4.5 : 1 is success criterion 1.4.3. */
static double channel(double c)
{
    return c <= 0.03928 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

static double luminance(GdkRGBA colour)
{
    return 0.2126 * channel(colour.red) + 0.7152 * channel(colour.green) +
           0.0722 * channel(colour.blue);
}

static double contrast(GdkRGBA a, GdkRGBA b)
{
    const double x = luminance(a) + 0.05;
    const double y = luminance(b) + 0.05;
    return x > y ? x / y : y / x;
}

static void check_text_contrast(GtkWidget *widget)
{
    const RbInk grounds[] = { RB_INK_PAPER, RB_INK_PANEL };
    const RbInk texts[] = { RB_INK_INK, RB_INK_MUTED, RB_INK_ACCENT };
    for (size_t i = 0; i < G_N_ELEMENTS(grounds); i++) {
        for (size_t j = 0; j < G_N_ELEMENTS(texts); j++) {
            const double ratio =
                contrast(rb_ink(widget, grounds[i]), rb_ink(widget, texts[j]));
            ck_assert_msg(ratio >= 4.5, "text %zu on ground %zu: %.2f", j, i, ratio);
        }
    }
    /* figures in ink stand on every shade of the scale */
    for (double where = -1; where <= 1; where += 0.25) {
        const double ratio =
            contrast(rb_ink_scale(widget, where), rb_ink(widget, RB_INK_INK));
        ck_assert_msg(ratio >= 4.5, "ink on the scale at %.2f: %.2f", where, ratio);
    }
}

START_TEST(test_contrast__formula_gives_21_for_black_on_white)
{
    const GdkRGBA black = { 0, 0, 0, 1 };
    const GdkRGBA white = { 1, 1, 1, 1 };
    ck_assert_double_eq_tol(contrast(black, white), 21, 1e-9);
}
END_TEST

START_TEST(test_style__text_is_readable_in_both_themes)
{
    rb_display_start();
    GtkWidget *widget = gtk_label_new("");
    GtkWidget *window = rb_display_show(widget, 100, 50);
    rb_style_set_scheme(RB_STYLE_LIGHT);
    rb_display_settle();
    const GdkRGBA light = rb_ink(widget, RB_INK_PAPER);
    check_text_contrast(widget);
    rb_style_set_scheme(RB_STYLE_DARK);
    rb_display_settle();
    const GdkRGBA dark = rb_ink(widget, RB_INK_PAPER);
    check_text_contrast(widget);
    ck_assert(luminance(light) > luminance(dark));
    ck_assert(rb_style_is_dark());
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

START_TEST(test_style__high_contrast_turns_hairlines_into_ink)
{
    rb_display_start();
    GtkWidget *widget = gtk_label_new("");
    GtkWidget *window = rb_display_show(widget, 100, 50);
    rb_style_set_scheme(RB_STYLE_LIGHT);
    g_object_set(gtk_settings_get_default(), "gtk-theme-name", "HighContrast", NULL);
    rb_display_settle();
    const GdkRGBA line = rb_ink(widget, RB_INK_LINE);
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    ck_assert(gdk_rgba_equal(&line, &ink));
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

/* How often the window is drawn until it stands still, after `change` is done to `widget`. */
static int count_frames(GtkWidget *widget, void (*change)(GtkWidget *))
{
    GdkFrameClock *clock = gtk_widget_get_frame_clock(widget);
    g_usleep(700 * 1000); /* what came before is over */
    rb_display_settle();
    const int64_t before = gdk_frame_clock_get_frame_counter(clock);
    change(widget);
    const gint64 end = g_get_monotonic_time() + 700 * 1000;
    while (g_get_monotonic_time() < end) {
        if (!g_main_context_iteration(NULL, FALSE)) {
            g_usleep(1000);
        }
    }
    return (int)(gdk_frame_clock_get_frame_counter(clock) - before);
}

static void press(GtkWidget *stack)
{
    GtkWidget *toggle = gtk_stack_get_visible_child(GTK_STACK(stack));
    g_signal_emit_by_name(toggle, "activate");
}

static void turn_page(GtkWidget *stack)
{
    gtk_stack_set_visible_child_name(GTK_STACK(stack), "second");
}

/* WCAG 2.1, 2.3.3, from memory: motion that an interaction starts can be turned off. */
START_TEST(test_style__without_animations_a_change_is_drawn_at_once)
{
    rb_display_start();
    GtkWidget *stack = gtk_stack_new();
    gtk_stack_add_named(GTK_STACK(stack), gtk_switch_new(), "first");
    gtk_stack_add_named(GTK_STACK(stack), gtk_button_new_with_label("b"), "second");
    GtkWidget *window = rb_display_show(stack, 200, 100);
    g_object_set(gtk_settings_get_default(), "gtk-enable-animations", TRUE, NULL);
    const int moving = count_frames(stack, press);
    g_object_set(gtk_settings_get_default(), "gtk-enable-animations", FALSE, NULL);
    const int still = count_frames(stack, press);
    const int turned = count_frames(stack, turn_page);
    ck_assert_msg(moving > 5, "the toolkit drew %d frames: nothing to turn off", moving);
    ck_assert_msg(still <= 3 && turned <= 3, "drawn %d and %d times", still, turned);
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

START_TEST(test_ink__signed_figures_use_a_true_minus_and_no_minus_zero)
{
    g_autofree char *plus = rb_ink_signed(1.44);
    g_autofree char *minus = rb_ink_signed(-4.06);
    g_autofree char *zero = rb_ink_signed(-0.04);
    ck_assert_str_eq(plus, "+1.4");
    ck_assert_str_eq(minus, "−4.1");
    ck_assert_str_eq(zero, "0.0");
}
END_TEST

TCase *rb_case_style(void)
{
    TCase *tcase = rb_case_new("style");
    tcase_add_test(tcase, test_contrast__formula_gives_21_for_black_on_white);
    tcase_add_test(tcase, test_style__text_is_readable_in_both_themes);
    tcase_add_test(tcase, test_style__high_contrast_turns_hairlines_into_ink);
    tcase_add_test(tcase, test_style__without_animations_a_change_is_drawn_at_once);
    tcase_add_test(tcase, test_ink__signed_figures_use_a_true_minus_and_no_minus_zero);
    return tcase;
}
