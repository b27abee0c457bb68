/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-read-form.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/work/playbook-edit.h"

#include "form.h"

/* What a read is for. */
enum { PURPOSE_LIVE, PURPOSE_OUTLET, PURPOSE_CLEAR_OUT };

/* The yards of a landmark are entered without a sign. */
enum { INSIDE = 16, LANDMARK_MOST_YD = 30, POINTS_LETTERS = 120 };

struct _RbPlaybookReadForm {
    GtkWidget parent_instance;
    GtkWidget *box;  /* child; the rest is inside */
    GtkWidget *form; /* of the fields */
    RbChoice *route;
    GtkWidget *points;
    RbChoice *runner;
    RbChoice *side;
    GtkWidget *depth;
    GtkWidget *landmark;
    RbChoice *landmark_from;
    GtkWidget *landmark_yards;
    GtkWidget *key;
    RbChoice *purpose;
    RbChoice *clock;
    GtkWidget *seconds;
    RbChoice *drop;
    RbChoice *backfield;
    GtkWidget *steps;
    GtkWidget *hitches;
    GtkWidget *tolerance;
    GtkLabel *hint;         /* how a route is drawn, or what is wrong with its points */
    RbPlaybookDraft *draft; /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookReadForm, rb_playbook_read_form, GTK_TYPE_WIDGET)

static RbRead *chosen_read(RbPlaybookReadForm *form)
{
    RbConcept *concept = rb_playbook_draft_edit(form->draft);
    const int number = rb_playbook_draft_get_read(form->draft);
    return concept != NULL ? (RbRead *)rb_concept_find_read(concept, number) : NULL;
}

static int get_number(GtkWidget *number, double unit)
{
    return (int)lround(gtk_spin_button_get_value(GTK_SPIN_BUTTON(number)) * unit);
}

/* Ways to drop: a fake comes only before steps. */
enum { BY_STEPS, BY_FAKE_AND_STEPS, BY_BOOT, BY_SPRINT };

static gint64 drop_of(const RbClock *clock)
{
    switch (clock->drop) {
    case RB_DROP_BOOT:
        return BY_BOOT;
    case RB_DROP_SPRINT:
        return BY_SPRINT;
    case RB_DROP_STRAIGHT:
        break;
    }
    return clock->fake ? BY_FAKE_AND_STEPS : BY_STEPS;
}

static void show_clock_fields(RbPlaybookReadForm *form, const RbClock *clock)
{
    const bool footwork = clock->kind == RB_CLOCK_FOOTWORK;
    const bool steps = footwork && clock->drop == RB_DROP_STRAIGHT;
    rb_form_show(form->seconds, clock->kind == RB_CLOCK_SECONDS);
    rb_form_show(GTK_WIDGET(form->drop), footwork);
    rb_form_show(GTK_WIDGET(form->backfield), steps);
    rb_form_show(form->steps, steps);
    rb_form_show(form->hitches, footwork);
    rb_form_show(form->tolerance, clock->kind != RB_CLOCK_UNKNOWN);
}

static void fill_clock(RbPlaybookReadForm *form, const RbClock *clock)
{
    rb_choice_set(form->clock, clock->kind);
    rb_choice_set(form->drop, drop_of(clock));
    rb_choice_set(form->backfield, clock->backfield);
    rb_number_set(form->steps, clock->steps);
    rb_number_set(form->seconds, clock->ms / 1000.0);
    rb_number_set(form->hitches, clock->hitches);
    rb_number_set(form->tolerance, clock->tolerance_ms / 1000.0);
    show_clock_fields(form, clock);
}

static void show_hint(RbPlaybookReadForm *form, const char *fault)
{
    gtk_label_set_text(form->hint,
                       fault != NULL
                           ? fault
                           : _("Click and drag on the diagram to draw the route; a right "
                               "click takes a point away. Points are yards downfield and "
                               "yards toward the sideline."));
    if (fault != NULL) {
        gtk_widget_add_css_class(GTK_WIDGET(form->hint), "fault");
    } else {
        gtk_widget_remove_css_class(GTK_WIDGET(form->hint), "fault");
    }
}

static void fill_points(RbPlaybookReadForm *form, const RbRead *read)
{
    const bool is_drawn = read->route == RB_ROUTE_DRAWN;
    g_autofree char *points = rb_read_points_text(read);
    rb_text_set(form->points, points);
    rb_form_show(form->points, is_drawn);
    gtk_widget_set_visible(GTK_WIDGET(form->hint), is_drawn);
    show_hint(form, NULL);
}

static void fill_landmark(RbPlaybookReadForm *form, const RbRead *read)
{
    const bool inside = read->landmark_tenths < 0;
    rb_text_set(form->landmark, read->landmark);
    rb_choice_set(form->landmark_from, (int)read->landmark_from | (inside ? INSIDE : 0));
    rb_number_set(form->landmark_yards, abs(read->landmark_tenths) / 10.0);
    rb_form_show(form->landmark_yards, read->landmark_from != RB_FROM_NONE);
}

static void fill(RbPlaybookReadForm *form)
{
    const RbRead *read = chosen_read(form);
    gtk_widget_set_visible(GTK_WIDGET(form), read != NULL);
    if (read == NULL) {
        return;
    }
    form->is_filling = true;
    rb_choice_set(form->route, read->route);
    fill_points(form, read);
    rb_choice_set(form->runner, read->runner);
    rb_choice_set(form->side, read->side);
    rb_number_set(form->depth, read->depth_yd);
    fill_landmark(form, read);
    rb_text_set(form->key, read->key);
    rb_choice_set(form->purpose, read->clear_out ? PURPOSE_CLEAR_OUT
                                 : read->outlet  ? PURPOSE_OUTLET
                                                 : PURPOSE_LIVE);
    fill_clock(form, &read->clock);
    form->is_filling = false;
}

static void get_drop(RbPlaybookReadForm *form, RbClock *clock)
{
    const gint64 by = rb_choice_get(form->drop);
    clock->drop = by == BY_BOOT     ? RB_DROP_BOOT
                  : by == BY_SPRINT ? RB_DROP_SPRINT
                                    : RB_DROP_STRAIGHT;
    if (clock->drop == RB_DROP_STRAIGHT) {
        clock->fake = by == BY_FAKE_AND_STEPS;
        clock->backfield = (RbBackfield)rb_choice_get(form->backfield);
        clock->steps = get_number(form->steps, 1);
    }
}

static RbClock get_clock(RbPlaybookReadForm *form, const RbClock *old)
{
    RbClock clock = { .kind = (RbClockKind)rb_choice_get(form->clock),
                      .tolerance_ms = get_number(form->tolerance, 1000) };
    switch (clock.kind) {
    case RB_CLOCK_UNKNOWN:
        clock.tolerance_ms = 0;
        break;
    case RB_CLOCK_SECONDS:
        clock.ms = get_number(form->seconds, 1000);
        break;
    case RB_CLOCK_FOOTWORK:
        get_drop(form, &clock);
        clock.hitches = get_number(form->hitches, 1);
        break;
    }
    const bool steps = clock.kind == RB_CLOCK_FOOTWORK && clock.drop == RB_DROP_STRAIGHT;
    if (steps && old->steps == 0) {
        clock.steps = 3;
    }
    /* A kind of clock that was just chosen starts from what the other kind said. */
    int ms = 0;
    const RbNames *names = rb_playbook_draft_get_names(form->draft);
    if (clock.kind == RB_CLOCK_SECONDS && old->kind != RB_CLOCK_SECONDS) {
        clock.ms = rb_clock_ms(old, rb_names_footwork(names), &ms) ? ms : 2000;
    }
    if (clock.kind != RB_CLOCK_UNKNOWN && old->kind == RB_CLOCK_UNKNOWN) {
        clock.tolerance_ms = 250;
    }
    return clock;
}

static void take_landmark(RbPlaybookReadForm *form, RbRead *read)
{
    const gint64 from = rb_choice_get(form->landmark_from);
    const int tenths = get_number(form->landmark_yards, 10);
    g_free(read->landmark);
    read->landmark = rb_text_dup(form->landmark);
    read->landmark_from = (RbLandmarkFrom)(from & ~INSIDE);
    read->landmark_tenths = read->landmark_from == RB_FROM_NONE ? 0
                            : (from & INSIDE) == 0              ? tenths
                            : tenths > 0                        ? -tenths
                                                                : -10;
}

/* What is typed and no route stays there to be mended. */
static void on_points(gpointer data)
{
    RbPlaybookReadForm *form = data;
    RbRead *read = form->is_filling ? NULL : chosen_read(form);
    if (read == NULL || read->route != RB_ROUTE_DRAWN) {
        return;
    }
    g_autoptr(GError) error = NULL;
    g_autofree char *text = rb_text_dup(form->points);
    if (!rb_read_set_points(read, text != NULL ? text : "", &error)) {
        show_hint(form, error->message);
        return;
    }
    rb_read_set_route(read, RB_ROUTE_DRAWN);
    rb_playbook_draft_edited(form->draft);
}

static void on_edited(gpointer data)
{
    RbPlaybookReadForm *form = data;
    RbRead *read = form->is_filling ? NULL : chosen_read(form);
    if (read == NULL) {
        return;
    }
    rb_read_set_route(read, (RbRoute)rb_choice_get(form->route));
    read->runner = (RbRunner)rb_choice_get(form->runner);
    read->side = (RbReadSide)rb_choice_get(form->side);
    read->depth_yd = get_number(form->depth, 1);
    take_landmark(form, read);
    g_free(read->key);
    read->key = rb_text_dup(form->key);
    const gint64 purpose = rb_choice_get(form->purpose);
    read->clear_out = purpose == PURPOSE_CLEAR_OUT;
    read->outlet = purpose == PURPOSE_OUTLET;
    read->clock = get_clock(form, &read->clock);
    rb_playbook_draft_edited(form->draft);
}

void rb_playbook_read_form_set_draft(RbPlaybookReadForm *form, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_READ_FORM(form));
    form->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "concept", G_CALLBACK(fill), form, G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "chosen", G_CALLBACK(fill), form, G_CONNECT_SWAPPED);
    fill(form);
}

static RbChoice *add_choice(RbPlaybookReadForm *form, const char *mnemonic,
                            const char *label, const RbWords *words, int first)
{
    RbChoice *choice = rb_choice_new(label);
    if (words != NULL) {
        rb_choice_add_words(choice, words, first);
    }
    rb_form_add(form->form, mnemonic, GTK_WIDGET(choice));
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(on_edited), form);
    return choice;
}

static GtkWidget *add_number(RbPlaybookReadForm *form, const char *mnemonic,
                             GtkWidget *number)
{
    rb_form_add(form->form, mnemonic, number);
    g_signal_connect_swapped(number, "value-changed", G_CALLBACK(on_edited), form);
    return number;
}

/* No depth of its own: the route breaks where such routes do. */
static gboolean on_depth_output(GtkSpinButton *depth)
{
    if (gtk_spin_button_get_value_as_int(depth) != 0) {
        return FALSE;
    }
    if (strcmp(gtk_editable_get_text(GTK_EDITABLE(depth)), _("usual")) != 0) {
        gtk_editable_set_text(GTK_EDITABLE(depth), _("usual"));
    }
    return TRUE;
}

static int on_depth_input(GtkSpinButton *depth, double *value)
{
    *value = 0.0;
    return strcmp(gtk_editable_get_text(GTK_EDITABLE(depth)), _("usual")) == 0;
}

static void add_landmark_fields(RbPlaybookReadForm *form)
{
    form->landmark =
        rb_form_add(form->form, _("Landmark"),
                    rb_text_new(_("top of the numbers"), G_CALLBACK(on_edited), form));
    form->landmark_from =
        add_choice(form, _("Landmark measured"), _("Landmark measured"), NULL, 0);
    rb_choice_add(form->landmark_from, RB_FROM_NONE, _("not in yards"));
    rb_choice_add(form->landmark_from, RB_FROM_SIDELINE, _("from the sideline"));
    rb_choice_add(form->landmark_from, RB_FROM_NUMBERS, _("outside the numbers"));
    rb_choice_add(form->landmark_from, RB_FROM_NUMBERS | INSIDE, _("inside the numbers"));
    rb_choice_add(form->landmark_from, RB_FROM_HASH, _("outside the hash"));
    rb_choice_add(form->landmark_from, RB_FROM_HASH | INSIDE, _("inside the hash"));
    form->landmark_yards =
        add_number(form, _("By, yards"), rb_number_new(0, LANDMARK_MOST_YD, 0.5, 1));
}

static void add_route_fields(RbPlaybookReadForm *form)
{
    form->route =
        add_choice(form, _("Route"), _("Route"), &rb_route_words, RB_ROUTE_UNKNOWN);
    form->points = rb_form_add(form->form, _("Points of the route"),
                               rb_text_new("6 0; 5 -2.5", G_CALLBACK(on_points), form));
    gtk_entry_set_max_length(GTK_ENTRY(form->points), POINTS_LETTERS);
    gtk_editable_set_width_chars(GTK_EDITABLE(form->points), 22);
    form->runner =
        add_choice(form, _("Run by"), _("Run by"), &rb_runner_words, RB_RUNNER_UNKNOWN);
    form->side = add_choice(form, _("On the"), _("On the"), &rb_read_side_words, 0);
    form->depth = add_number(form, _("Break at, yards"), rb_number_new(0, 99, 1, 0));
    gtk_spin_button_set_numeric(GTK_SPIN_BUTTON(form->depth), FALSE); /* for the word */
    g_signal_connect(form->depth, "output", G_CALLBACK(on_depth_output), NULL);
    g_signal_connect(form->depth, "input", G_CALLBACK(on_depth_input), NULL);
    add_landmark_fields(form);
    form->key = rb_form_add(form->form, _("Key"),
                            rb_text_new(_("flat defender"), G_CALLBACK(on_edited), form));
    form->purpose = add_choice(form, _("For"), _("For"), NULL, 0);
    rb_choice_add(form->purpose, PURPOSE_LIVE, _("a throw"));
    rb_choice_add(form->purpose, PURPOSE_OUTLET, _("the outlet"));
    rb_choice_add(form->purpose, PURPOSE_CLEAR_OUT, _("a clear-out"));
}

static void add_clock_fields(RbPlaybookReadForm *form)
{
    form->clock = add_choice(form, _("Clock"), _("Clock"), &rb_clock_words, 0);
    form->seconds =
        add_number(form, _("Leaves at, seconds"), rb_number_new(0, 20, 0.05, 2));
    form->drop = add_choice(form, _("Drop"), _("Drop"), NULL, 0);
    rb_choice_add(form->drop, BY_STEPS, _("steps"));
    rb_choice_add(form->drop, BY_FAKE_AND_STEPS, _("a fake, then steps"));
    rb_choice_add(form->drop, BY_BOOT, _("boot"));
    rb_choice_add(form->drop, BY_SPRINT, _("sprint out"));
    form->backfield = add_choice(form, _("From"), _("From"), &rb_backfield_words, 0);
    form->steps = add_number(form, _("Steps"), rb_number_new(1, 9, 1, 0));
    form->hitches = add_number(form, _("Hitches"), rb_number_new(0, 9, 1, 0));
    form->tolerance =
        add_number(form, _("Tolerance, seconds"), rb_number_new(0, 20, 0.05, 2));
}

static void rb_playbook_read_form_dispose(GObject *object)
{
    RbPlaybookReadForm *form = RB_PLAYBOOK_READ_FORM(object);
    /* A field that loses the focus as it goes must not edit any more. */
    form->is_filling = true;
    g_clear_pointer(&form->box, gtk_widget_unparent);
    g_clear_object(&form->draft);
    G_OBJECT_CLASS(rb_playbook_read_form_parent_class)->dispose(object);
}

static gboolean rb_playbook_read_form_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_PLAYBOOK_READ_FORM(widget)->route));
}

static void rb_playbook_read_form_class_init(RbPlaybookReadFormClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_read_form_dispose;
    widget_class->grab_focus = rb_playbook_read_form_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_playbook_read_form_init(RbPlaybookReadForm *form)
{
    form->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(form->box, GTK_WIDGET(form));
    form->form = rb_form_new();
    gtk_box_append(GTK_BOX(form->box), form->form);
    add_route_fields(form);
    add_clock_fields(form);
    form->hint = GTK_LABEL(gtk_label_new(NULL));
    gtk_label_set_wrap(form->hint, TRUE);
    gtk_label_set_xalign(form->hint, 0);
    gtk_widget_add_css_class(GTK_WIDGET(form->hint), "small");
    gtk_box_append(GTK_BOX(form->box), GTK_WIDGET(form->hint));
    gtk_accessible_update_property(GTK_ACCESSIBLE(form), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("The chosen read"), -1);
}
