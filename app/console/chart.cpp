// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/chart.h"

#include "plots/sheet.h"

#include <QApplication>

namespace portwright::console {

namespace {

SheetFormat sheetFormat(ImageFormat format)
{
    if (format == ImageFormat::svg) return SheetFormat::svg;
    return format == ImageFormat::pdf ? SheetFormat::pdf : SheetFormat::png;
}

}  // namespace

Result<std::string> paintChart(const Project& project, const ChartRequest& request)
{
    qputenv("QT_QPA_PLATFORM", "offscreen");  // whatever display there is or is not
    qInstallMessageHandler(
        [](QtMsgType, const QMessageLogContext&, const QString&) {});  // standard error is for our own messages
    int argc = 1;
    char name[] = "portwright-cli";
    char* argv[] = {name, nullptr};
    QApplication application(argc, argv);

    QStringList ids;
    for (const std::string& id : request.housings)
        ids += QString::fromStdString(id);
    return renderComparison(project, ids, {request.width, request.height}, sheetFormat(request.format))
        .transform([](const QByteArray& bytes) { return bytes.toStdString(); });
}

}  // namespace portwright::console
