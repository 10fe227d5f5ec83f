// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/main_window.h"

#include <QApplication>
#include <QIcon>
#include <QTimer>

#include <cstdio>
#include <cstring>

namespace {

constexpr const char* usage = "portwright [PROJECT.portwright]\n"
                              "Opens the window, with a project if one is named.\n"
                              "  --help      this text\n"
                              "  --version   the version\n";

}  // namespace

int main(int argc, char** argv)
{
    for (int i = 1; i < argc; ++i) {  // answered without a display
        if (std::strcmp(argv[i], "--help") == 0 || std::strcmp(argv[i], "-h") == 0)
            return std::fputs(usage, stdout) < 0;
        if (std::strcmp(argv[i], "--version") == 0) return std::puts("portwright " PORTWRIGHT_VERSION) < 0;
    }
    QApplication app(argc, argv);
    QApplication::setApplicationName(QStringLiteral("portwright"));
    QApplication::setApplicationDisplayName({});
    QGuiApplication::setDesktopFileName(QStringLiteral("portwright"));
    portwright::MainWindow window(portwright::standardFolders());
    window.show();
    const QStringList arguments = QApplication::arguments();
    if (arguments.size() > 1) window.openFile(arguments.at(1));
    window.offerLeftWork();
    QTimer::singleShot(300, &window, [&window] { window.showHintsAtStart(); });
    return QApplication::exec();
}
