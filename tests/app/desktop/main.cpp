// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/desktop/left_work.h"
#include "tests/catch_runner.h"

#include <QApplication>
#include <QStandardPaths>

#include <cstring>

int main(int argc, char** argv)
{
    if (qEnvironmentVariableIsEmpty("QT_QPA_PLATFORM")) qputenv("QT_QPA_PLATFORM", "offscreen");
    QStandardPaths::setTestModeEnabled(true);
    QApplication app(argc, argv);
    if (argc > 2 && std::strcmp(argv[1], "--work-until-killed") == 0)  // the child of the recovery test
        return portwright::workUntilKilled(QString::fromLocal8Bit(argv[2]),
                                           argc > 3 ? QString::fromLocal8Bit(argv[3]) : QString());
    return runTests(argc, argv);
}
