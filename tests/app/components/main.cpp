// SPDX-License-Identifier: GPL-3.0-or-later
#define CATCH_CONFIG_RUNNER
#include "app/desktop/components/app_palette.h"

#include <QApplication>
#include <QLocale>
#include <QStandardPaths>

#include <catch2/catch.hpp>

int main(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QStandardPaths::setTestModeEnabled(true);
    const QString locale = qEnvironmentVariable("PORTWRIGHT_TEST_LOCALE", "en_GB");
    QLocale::setDefault(QLocale(locale));
    QApplication application(argc, argv);
    portwright::applyTheme(portwright::Theme::light);
    return Catch::Session().run(argc, argv);
}
