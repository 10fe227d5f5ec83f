// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/catch_runner.h"

#include <QApplication>
#include <QStandardPaths>

int main(int argc, char** argv)
{
    if (!qEnvironmentVariableIsSet("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QStandardPaths::setTestModeEnabled(true);
    const QApplication application(argc, argv);
    return runTests(argc, argv);
}
