// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/app_palette.h"
#include "tests/catch_runner.h"

#include <QApplication>
#include <QLocale>
#include <QStandardPaths>

int main(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QStandardPaths::setTestModeEnabled(true);
    const QString locale = qEnvironmentVariable("PORTWRIGHT_TEST_LOCALE", "en_GB");
    QLocale::setDefault(QLocale(locale));
    QApplication application(argc, argv);
    portwright::applyTheme(portwright::Theme::light);
    return runTests(argc, argv);
}
