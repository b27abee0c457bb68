/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "style.h"

#include "rb-resources.h"

#define RESOURCES "/org/readbreak/Readbreak/"
#define PORTAL_SCHEME_DARK 1u

static struct {
    GdkDisplay *display;
    GtkCssProvider *rules;    /* owned */
    GtkCssProvider *dark;     /* owned */
    GtkCssProvider *contrast; /* owned */
    GDBusProxy *portal;       /* owned, nullable */
    RbStyleScheme scheme;
    guint portal_scheme; /* 0 no preference, 1 dark, 2 light */
    bool is_dark;
    bool is_contrast;
} style;

static GtkCssProvider *load(const char *name)
{
    g_autofree char *path = g_strconcat(RESOURCES, name, NULL);
    GtkCssProvider *provider = gtk_css_provider_new();
    gtk_css_provider_load_from_resource(provider, path);
    return provider;
}

static void use(GtkCssProvider *provider, bool wanted, bool *is_used, guint priority)
{
    if (wanted == *is_used) {
        return;
    }
    *is_used = wanted;
    if (wanted) {
        gtk_style_context_add_provider_for_display(
            style.display, GTK_STYLE_PROVIDER(provider), priority);
    } else {
        gtk_style_context_remove_provider_for_display(style.display,
                                                      GTK_STYLE_PROVIDER(provider));
    }
}

static void apply(void)
{
    GtkSettings *settings = gtk_settings_get_for_display(style.display);
    g_autofree char *theme = g_strdup(g_getenv("GTK_THEME")); /* it wins, in GTK too */
    if (theme == NULL) {
        g_object_get(settings, "gtk-theme-name", &theme, NULL);
    }
    if (theme == NULL) {
        theme = g_strdup("");
    }
    g_autofree char *lower = g_ascii_strdown(theme, -1);
    const bool theme_dark =
        g_str_has_suffix(lower, "dark") || g_str_has_suffix(lower, "inverse");
    bool dark = style.portal_scheme == PORTAL_SCHEME_DARK || theme_dark;
    if (style.scheme != RB_STYLE_SYSTEM) {
        dark = style.scheme == RB_STYLE_DARK;
    }
    const guint priority = GTK_STYLE_PROVIDER_PRIORITY_APPLICATION;
    use(style.dark, dark, &style.is_dark, priority + 1);
    use(style.contrast, strstr(lower, "contrast") != NULL, &style.is_contrast,
        priority + 2);
    g_object_set(settings, "gtk-application-prefer-dark-theme", dark, NULL);
}

static void set_portal_scheme(GVariant *value)
{
    /* Read answers a variant in a variant; the signal a single one. */
    g_autoptr(GVariant) inner = g_variant_ref(value);
    while (g_variant_is_of_type(inner, G_VARIANT_TYPE_VARIANT)) {
        GVariant *next = g_variant_get_variant(inner);
        g_variant_unref(inner);
        inner = next;
    }
    if (g_variant_is_of_type(inner, G_VARIANT_TYPE_UINT32)) {
        style.portal_scheme = g_variant_get_uint32(inner);
        apply();
    }
}

static void on_portal_read(GObject *source, GAsyncResult *result, gpointer data)
{
    (void)data;
    /* No portal, or one that does not know the setting: the theme's name decides. */
    g_autoptr(GVariant) answer =
        g_dbus_proxy_call_finish(G_DBUS_PROXY(source), result, NULL);
    if (answer != NULL) {
        g_autoptr(GVariant) value = g_variant_get_child_value(answer, 0);
        set_portal_scheme(value);
    }
}

static void on_portal_signal(GDBusProxy *proxy, const char *sender, const char *signal,
                             GVariant *parameters, gpointer data)
{
    (void)proxy;
    (void)sender;
    (void)data;
    const char *space = NULL;
    const char *key = NULL;
    g_autoptr(GVariant) value = NULL;
    if (g_strcmp0(signal, "SettingChanged") != 0 ||
        !g_variant_is_of_type(parameters, G_VARIANT_TYPE("(ssv)"))) {
        return;
    }
    g_variant_get(parameters, "(&s&sv)", &space, &key, &value);
    if (g_strcmp0(space, "org.freedesktop.appearance") == 0 &&
        g_strcmp0(key, "color-scheme") == 0) {
        set_portal_scheme(value);
    }
}

static void on_portal_found(GObject *source, GAsyncResult *result, gpointer data)
{
    (void)source;
    (void)data;
    style.portal = g_dbus_proxy_new_for_bus_finish(result, NULL);
    if (style.portal == NULL) {
        return;
    }
    g_signal_connect(style.portal, "g-signal", G_CALLBACK(on_portal_signal), NULL);
    g_dbus_proxy_call(style.portal, "Read",
                      g_variant_new("(ss)", "org.freedesktop.appearance", "color-scheme"),
                      G_DBUS_CALL_FLAGS_NONE, 1000, NULL, on_portal_read, NULL);
}

static void on_theme(GObject *settings, GParamSpec *pspec, gpointer data)
{
    (void)settings;
    (void)pspec;
    (void)data;
    apply();
}

void rb_style_start(GdkDisplay *display)
{
    if (style.display != NULL) {
        return;
    }
    /* Names the embedded files, so that the linker keeps them. */
    g_resources_register(rb_get_resource());
    style.display = display;
    style.rules = load("style.css");
    style.dark = load("style-dark.css");
    style.contrast = load("style-contrast.css");
    bool is_used = false;
    use(style.rules, true, &is_used, GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
    g_signal_connect(gtk_settings_get_for_display(display), "notify::gtk-theme-name",
                     G_CALLBACK(on_theme), NULL);
    apply();
    g_dbus_proxy_new_for_bus(
        G_BUS_TYPE_SESSION,
        G_DBUS_PROXY_FLAGS_DO_NOT_LOAD_PROPERTIES |
            G_DBUS_PROXY_FLAGS_DO_NOT_AUTO_START_AT_CONSTRUCTION,
        NULL, "org.freedesktop.portal.Desktop", "/org/freedesktop/portal/desktop",
        "org.freedesktop.portal.Settings", NULL, on_portal_found, NULL);
}

void rb_style_set_scheme(RbStyleScheme scheme)
{
    style.scheme = scheme;
    if (style.display != NULL) {
        apply();
    }
}

bool rb_style_is_dark(void)
{
    return style.is_dark;
}
