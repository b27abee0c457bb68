/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-picture.h"

#include <glib/gi18n.h>

#include "form.h"

enum {
    CUSHION_MOST_YD = 12,
    SPLIT_MOST_YD = 20,
    DISTANCE_MOST_YD = 25,
    RUSHERS_LEAST = 2,
    RUSHERS_MOST = 8
};

/* The parts of one corner. */
typedef struct {
    RbChoice *technique;
    RbChoice *cushion;
    RbChoice *split; /* of the receiver over there */
    RbChoice *leverage;
} Corner;

struct _RbPlaybookPicture {
    GtkWidget parent_instance;
    GtkWidget *grid; /* child; the fields are inside */
    RbChoice *side;
    RbChoice *shell;
    RbChoice *rotation;
    RbChoice *coverage;
    RbChoice *hash;
    RbChoice *formation;
    RbChoice *width;
    RbChoice *down;
    RbChoice *distance;
    RbChoice *rushers;
    RbChoice *free;
    Corner left;
    Corner right;
    RbPlaybookDraft *draft; /* owned, nullable */
    RbNames *names;         /* owned, nullable: whose words the coverages are */
};

G_DEFINE_FINAL_TYPE(RbPlaybookPicture, rb_playbook_picture, GTK_TYPE_WIDGET)

static RbSideShown get_corner(const Corner *corner)
{
    return (RbSideShown){ .technique = (RbTechnique)rb_choice_get(corner->technique),
                          .cushion_tenths = (int)rb_choice_get(corner->cushion),
                          .split_tenths = (int)rb_choice_get(corner->split),
                          .leverage = (RbLeverage)rb_choice_get(corner->leverage) };
}

static void on_changed(RbPlaybookPicture *picture)
{
    RbPictureTry try = *rb_playbook_draft_get_picture(picture->draft);
    try.side = (RbSide)rb_choice_get(picture->side);
    try.hash = (RbHash)rb_choice_get(picture->hash);
    try.shown.shell = (RbShell)rb_choice_get(picture->shell);
    try.shown.rotation = (RbRotation)rb_choice_get(picture->rotation);
    try.shown.left = get_corner(&picture->left);
    try.shown.right = get_corner(&picture->right);
    try.formation.value = rb_choice_get(picture->formation);
    try.width = (RbWidth)rb_choice_get(picture->width);
    try.down = (int)rb_choice_get(picture->down);
    try.distance = (int)rb_choice_get(picture->distance);
    try.rushers = (int)rb_choice_get(picture->rushers);
    try.coverage.value = rb_choice_get(picture->coverage);
    try.unblocked = (RbSide)rb_choice_get(picture->free);
    rb_playbook_draft_set_picture(picture->draft, &try);
}

static void on_list(RbPlaybookPicture *picture)
{
    RbNames *names = rb_playbook_draft_get_names(picture->draft);
    if (names == NULL || names == picture->names) {
        return;
    }
    rb_names_unref(picture->names);
    picture->names = rb_names_ref(names);
    rb_choice_clear(picture->coverage);
    rb_choice_add(picture->coverage, 0, _("any coverage"));
    rb_choice_add_terms(picture->coverage, rb_names_terms(names), RB_TERM_COVERAGE);
    const RbPictureTry *try = rb_playbook_draft_get_picture(picture->draft);
    rb_choice_set(picture->coverage, try->coverage.value);
    rb_choice_clear(picture->formation);
    rb_choice_add(picture->formation, 0, _("any formation"));
    rb_choice_add_terms(picture->formation, rb_names_terms(names), RB_TERM_FORMATION);
    rb_choice_set(picture->formation, try->formation.value);
}

void rb_playbook_picture_set_draft(RbPlaybookPicture *picture, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_PICTURE(picture));
    picture->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "list", G_CALLBACK(on_list), picture,
                            G_CONNECT_SWAPPED);
    on_list(picture);
}

static GtkWidget *put_label(RbPlaybookPicture *picture, const char *text, int column,
                            int row)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_add_css_class(label, "small");
    gtk_grid_attach(GTK_GRID(picture->grid), label, column, row, 1, 1);
    return label;
}

static RbChoice *put_choice(RbPlaybookPicture *picture, const char *label, int column,
                            int row)
{
    RbChoice *choice = rb_choice_new(label);
    gtk_widget_set_hexpand(GTK_WIDGET(choice), TRUE);
    gtk_grid_attach(GTK_GRID(picture->grid), GTK_WIDGET(choice), column, row, 1, 1);
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(on_changed), picture);
    return choice;
}

static void put_corner(RbPlaybookPicture *picture, Corner *corner, const char *side,
                       int row)
{
    put_label(picture, side, 0, row);
    g_autofree char *technique = g_strdup_printf(_("%s: technique"), side);
    g_autofree char *cushion = g_strdup_printf(_("%s: cushion"), side);
    g_autofree char *leverage = g_strdup_printf(_("%s: leverage"), side);
    corner->technique = put_choice(picture, technique, 1, row);
    rb_choice_add(corner->technique, RB_TECHNIQUE_UNKNOWN, _("any corner"));
    rb_choice_add_words(corner->technique, &rb_technique_words, 1);
    corner->cushion = put_choice(picture, cushion, 2, row);
    rb_choice_add(corner->cushion, -1, _("any cushion"));
    for (int yards = 1; yards <= CUSHION_MOST_YD; yards++) {
        g_autofree char *word = g_strdup_printf(_("%d yd"), yards);
        rb_choice_add(corner->cushion, yards * 10, word);
    }
    corner->leverage = put_choice(picture, leverage, 3, row);
    rb_choice_add(corner->leverage, RB_LEVERAGE_UNKNOWN, _("any leverage"));
    rb_choice_add_words(corner->leverage, &rb_leverage_words, 1);
}

static RbChoice *put_split(RbPlaybookPicture *picture, const char *name, int column)
{
    RbChoice *split = put_choice(picture, name, column, 6);
    rb_choice_add(split, -1, _("any split"));
    for (int yards = 1; yards <= SPLIT_MOST_YD; yards++) {
        g_autofree char *word = g_strdup_printf(_("%d yd"), yards);
        rb_choice_add(split, yards * 10, word);
    }
    return split;
}

static void put_splits(RbPlaybookPicture *picture)
{
    put_label(picture, _("Splits"), 0, 6);
    picture->left.split = put_split(picture, _("Left split"), 1);
    picture->right.split = put_split(picture, _("Right split"), 2);
}

static void put_offense(RbPlaybookPicture *picture)
{
    put_label(picture, _("Worked to"), 0, 0);
    picture->side = put_choice(picture, _("Side worked to"), 1, 0);
    rb_choice_add_words(picture->side, &rb_side_words, RB_SIDE_LEFT);
    rb_choice_set(picture->side, RB_SIDE_RIGHT);
    picture->formation = put_choice(picture, _("Formation"), 2, 0);
    picture->width = put_choice(picture, _("Width of the formation"), 3, 0);
    rb_choice_add(picture->width, RB_WIDTH_UNKNOWN, _("any width"));
    rb_choice_add_words(picture->width, &rb_width_words, 1);
}

static void put_situation(RbPlaybookPicture *picture)
{
    put_label(picture, _("Ball"), 0, 1);
    picture->hash = put_choice(picture, _("Ball on"), 1, 1);
    rb_choice_add(picture->hash, RB_HASH_MIDDLE, _("in the middle"));
    rb_choice_add(picture->hash, RB_HASH_LEFT, _("left hash"));
    rb_choice_add(picture->hash, RB_HASH_RIGHT, _("right hash"));
    picture->down = put_choice(picture, _("Down"), 2, 1);
    rb_choice_add(picture->down, 0, _("any down"));
    rb_choice_add(picture->down, 1, _("1st down"));
    rb_choice_add(picture->down, 2, _("2nd down"));
    rb_choice_add(picture->down, 3, _("3rd down"));
    rb_choice_add(picture->down, 4, _("4th down"));
    picture->distance = put_choice(picture, _("Distance"), 3, 1);
    rb_choice_add(picture->distance, 0, _("any distance"));
    for (int yards = 1; yards <= DISTANCE_MOST_YD; yards++) {
        g_autofree char *word = g_strdup_printf(_("%d to go"), yards);
        rb_choice_add(picture->distance, yards, word);
    }
}

static void put_defense(RbPlaybookPicture *picture)
{
    put_label(picture, _("Against"), 0, 2);
    picture->shell = put_choice(picture, _("Shell shown"), 1, 2);
    rb_choice_add(picture->shell, RB_SHELL_UNKNOWN, _("any shell"));
    rb_choice_add_words(picture->shell, &rb_shell_words, 1);
    picture->rotation = put_choice(picture, _("Rotation"), 2, 2);
    rb_choice_add(picture->rotation, RB_ROTATION_UNKNOWN, _("any rotation"));
    rb_choice_add(picture->rotation, RB_ROTATION_NONE, _("no rotation"));
    rb_choice_add(picture->rotation, RB_ROTATION_LEFT, _("rotates left"));
    rb_choice_add(picture->rotation, RB_ROTATION_RIGHT, _("rotates right"));
    picture->coverage = put_choice(picture, _("Coverage"), 3, 2);
    put_label(picture, _("Rush"), 0, 3);
    picture->rushers = put_choice(picture, _("Rushers"), 1, 3);
    rb_choice_add(picture->rushers, -1, _("any rush"));
    for (int n = RUSHERS_LEAST; n <= RUSHERS_MOST; n++) {
        g_autofree char *word = g_strdup_printf(_("%d rush"), n);
        rb_choice_add(picture->rushers, n, word);
    }
    picture->free = put_choice(picture, _("Rusher nobody blocks"), 2, 3);
    rb_choice_add(picture->free, RB_SIDE_UNKNOWN, _("all blocked"));
    rb_choice_add(picture->free, RB_SIDE_LEFT, _("free rusher left"));
    rb_choice_add(picture->free, RB_SIDE_RIGHT, _("free rusher right"));
}

static void put_fields(RbPlaybookPicture *picture)
{
    put_offense(picture);
    put_situation(picture);
    put_defense(picture);
    put_corner(picture, &picture->left, _("Left corner"), 4);
    put_corner(picture, &picture->right, _("Right corner"), 5);
    put_splits(picture);
}

static void rb_playbook_picture_dispose(GObject *object)
{
    RbPlaybookPicture *picture = RB_PLAYBOOK_PICTURE(object);
    g_clear_pointer(&picture->grid, gtk_widget_unparent);
    g_clear_object(&picture->draft);
    g_clear_pointer(&picture->names, rb_names_unref);
    G_OBJECT_CLASS(rb_playbook_picture_parent_class)->dispose(object);
}

static gboolean rb_playbook_picture_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_PLAYBOOK_PICTURE(widget)->side));
}

static void rb_playbook_picture_class_init(RbPlaybookPictureClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_picture_dispose;
    widget_class->grab_focus = rb_playbook_picture_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_playbook_picture_init(RbPlaybookPicture *picture)
{
    picture->grid = gtk_grid_new();
    gtk_grid_set_column_spacing(GTK_GRID(picture->grid), 6);
    gtk_grid_set_row_spacing(GTK_GRID(picture->grid), 4);
    gtk_widget_set_parent(picture->grid, GTK_WIDGET(picture));
    gtk_widget_add_css_class(picture->grid, "compact");
    put_fields(picture);
    gtk_accessible_update_property(GTK_ACCESSIBLE(picture), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("The defence's picture"), -1);
}
