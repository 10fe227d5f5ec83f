// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/chart.h"

#include "plots/sheet/sheet.h"
#include "plots/sheet/template_pdf.h"

#include <QApplication>

#include <array>
#include <optional>
#include <string>

namespace portwright::console {

namespace {

SheetFormat sheetFormat(ImageFormat format)
{
    if (format == ImageFormat::svg) return SheetFormat::svg;
    return format == ImageFormat::pdf ? SheetFormat::pdf : SheetFormat::png;
}

/// A Qt application for as long as something is painted.
class OffScreen {
public:
    OffScreen()
    {
        qputenv("QT_QPA_PLATFORM", "offscreen");  // whatever display there is or is not
        qInstallMessageHandler(
            [](QtMsgType, const QMessageLogContext&, const QString&) {});  // standard error is for our own messages
        application_.emplace(count_, arguments_.data());
    }

private:
    int count_ = 1;
    std::string name_ = "portwright-cli";
    std::array<char*, 2> arguments_{name_.data(), nullptr};
    std::optional<QApplication> application_;
};

}  // namespace

Result<std::string> paintChart(const Project& project, const ChartRequest& request)
{
    const OffScreen screen;
    QStringList ids;
    for (const std::string& id : request.housings)
        ids += QString::fromStdString(id);
    return renderComparison(project, ids, {request.width, request.height}, sheetFormat(request.format))
        .transform([](const QByteArray& bytes) { return bytes.toStdString(); });
}

Result<std::vector<PartFile>> paintTemplates(const std::vector<PartTemplate>& templates, TemplatePaper paper)
{
    const OffScreen screen;
    std::vector<PartFile> files;
    for (const PartTemplate& each : templates) {
        const auto pdf = templatePdf(each.drawing, paper == TemplatePaper::letter ? Paper::letter : Paper::a4,
                                     QStringLiteral("Portwright " PORTWRIGHT_VERSION));
        if (!pdf) return fail(pdf.error());
        files.push_back({each.name + ".pdf", pdf->toStdString()});
    }
    return files;
}

}  // namespace portwright::console
