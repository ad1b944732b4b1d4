#!/usr/bin/python3
"""A window of WebKit, and no more, that keeps what pages store in a folder and lets itself be driven.

WebKit's own small browser forgets everything when it is driven, so that nothing could be opened anew. Needs Debian's
python3-gi and gir1.2-webkit2-4.1. Arguments: the folder of the profile, the folder for what is saved.
"""

import os
import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import GLib, Gtk, WebKit2  # noqa: E402

profile, saved = sys.argv[1:3]
manager = WebKit2.WebsiteDataManager(
    base_data_directory=os.path.join(profile, "data"),
    base_cache_directory=os.path.join(profile, "cache"),
)
context = WebKit2.WebContext.new_with_website_data_manager(manager)
context.set_automation_allowed(True)
views = []


def print_when_asked():
    """Prints the last window into a file once there is one named "print"; a driven window never does so by itself."""
    asked = os.path.join(saved, "print")
    if not os.path.exists(asked):
        return True
    os.remove(asked)
    settings = Gtk.PrintSettings()
    settings.set_printer("Print to File")
    settings.set(Gtk.PRINT_SETTINGS_OUTPUT_FILE_FORMAT, "pdf")
    settings.set(
        Gtk.PRINT_SETTINGS_OUTPUT_URI, "file://" + os.path.join(saved, "printed.pdf")
    )
    operation = WebKit2.PrintOperation.new(views[-1])
    operation.set_print_settings(settings)
    operation.print_()
    return True


def window(_session=None):
    settings = WebKit2.Settings()
    settings.set_enable_write_console_messages_to_stdout(True)
    view = WebKit2.WebView(
        web_context=context, settings=settings, is_controlled_by_automation=True
    )
    frame = Gtk.Window()
    frame.set_default_size(768, 1024)
    frame.add(view)
    view.connect("close", lambda _: frame.destroy())
    views.append(view)
    frame.show_all()
    return view


def started(_context, session):
    info = WebKit2.ApplicationInfo()
    info.set_name("webkit-window")
    info.set_version(1, 0, 0)
    session.set_application_info(info)
    session.connect("create-web-view", window)


def decided(download, name):
    download.set_destination("file://" + os.path.join(saved, os.path.basename(name)))
    return True


def saving(_context, download):
    download.connect("decide-destination", decided)


context.connect("automation-started", started)
context.connect("download-started", saving)
GLib.timeout_add(200, print_when_asked)
Gtk.main()
