// SPDX-License-Identifier: GPL-3.0-or-later
// MainWindow and paper: the comparison sheet as a file and at the printer, by the renderer that the console uses.
#include "app/desktop/components/typing.h"
#include "app/desktop/window/main_window.h"
#include "app/desktop/window/parts_window.h"
#include "plots/sheet/sheet.h"

#include <QDir>
#include <QFileDialog>
#include <QFileInfo>
#include <QLocale>
#include <QPageLayout>
#include <QPainter>
#include <QPrintDialog>
#include <QPrinter>

namespace portwright {
namespace {

constexpr QSize sheetOnScreen(1600, 1131);  // px, as the console's default
constexpr QSize sheetOnPaper(1123, 794);    // px at 96 dpi: A4 lying, as the PDF's page
constexpr double pixelsPerMm = 96 / 25.4;

std::optional<SheetFormat> formatOf(const QString& path)
{
    const QString suffix = QFileInfo(path).suffix().toLower();
    if (suffix == QLatin1String("png")) return SheetFormat::png;
    if (suffix == QLatin1String("svg")) return SheetFormat::svg;
    if (suffix == QLatin1String("pdf")) return SheetFormat::pdf;
    return {};
}

}  // namespace

QStringList MainWindow::shownHousings()
{
    QStringList ids;
    for (const HousingResult& result : workbench_.computation().results())
        if (result.visible && (workbench_.newcomer().empty() || result.id != workbench_.newcomer()))
            ids << QString::fromStdString(result.id);
    return ids;
}

void MainWindow::tell(const QString& sentence)
{
    ask({.words = sentence, .verbs = {tr("Close")}, .mainVerb = -1, .answer = {}});
}

bool MainWindow::exportComparison(const QString& path)
{
    commitTyping();
    const auto format = formatOf(path);
    if (!format) {
        tell(tr("Not exported: %1. The name ends in none of .png, .svg and .pdf; choose one of them.").arg(path));
        return false;
    }
    const QSize size = *format == SheetFormat::pdf ? sheetOnPaper : sheetOnScreen;
    const auto bytes = renderComparison(workbench_.project(), shownHousings(), size, *format, QDate::currentDate(),
                                        workbench_.units());
    if (!bytes) {
        tell(tr("Not exported: %1. %2.").arg(path, QString::fromStdString(bytes.error().message)));
        return false;
    }
    if (const auto written = writeWholeFile(path, *bytes); !written) {
        tell(tr("Not exported: %1: %2.").arg(path, QString::fromStdString(written.error().message)));
        return false;
    }
    return true;
}

void MainWindow::showParts()
{
    commitTyping();
    if (!parts_) parts_ = new PartsWindow(workbench_, this);
    parts_->show();
    parts_->raise();
    parts_->activateWindow();
}

void MainWindow::exportByDialog()
{
    const QString folder = files_->path().isEmpty() ? QDir::homePath() : QFileInfo(files_->path()).path();
    QFileDialog dialog(this, tr("Export the Comparison"), folder,
                       tr("PDF, vectors (*.pdf);;SVG, vectors (*.svg);;PNG, pixels (*.png)"));
    dialog.setAcceptMode(QFileDialog::AcceptSave);
    dialog.setFileMode(QFileDialog::AnyFile);
    dialog.setDefaultSuffix(QStringLiteral("pdf"));
    connect(&dialog, &QFileDialog::filterSelected, &dialog, [&dialog](const QString& filter) {
        dialog.setDefaultSuffix(filter.section(QLatin1String("*."), 1).left(3));
    });
    dialog.selectFile(QFileInfo(files_->name()).completeBaseName());
    if (dialog.exec() == QDialog::Accepted) exportComparison(dialog.selectedFiles().value(0));
}

bool MainWindow::printComparison(QPrinter& printer)
{
    commitTyping();
    const auto sheet = comparisonOf(workbench_.project(), shownHousings(), QDate::currentDate(), workbench_.units());
    if (!sheet) {
        tell(tr("Not printed: %1.").arg(QString::fromStdString(sheet.error().message)));
        return false;
    }
    printer.setDocName(sheet->title);
    QPainter painter;
    if (!painter.begin(&printer)) {
        tell(tr("Not printed: the printer %1 takes no page. Look whether it is on and connected, or export a PDF.")
                 .arg(printer.outputFileName().isEmpty() ? printer.printerName() : printer.outputFileName()));
        return false;
    }
    const QSizeF size = printer.pageLayout().paintRect(QPageLayout::Millimeter).size() * pixelsPerMm;
    const double scale = printer.resolution() / 96.0;
    painter.scale(scale, scale);
    paintComparison(painter, size, *sheet);
    if (painter.end() && printer.printerState() != QPrinter::Error) return true;
    tell(tr("Not printed: the printer gave up. Try again, or export a PDF."));
    return false;
}

void MainWindow::printByDialog()
{
    QPrinter printer(QPrinter::HighResolution);
    const bool letter = QLocale().measurementSystem() == QLocale::ImperialUSSystem;
    printer.setPageLayout(QPageLayout(QPageSize(letter ? QPageSize::Letter : QPageSize::A4), QPageLayout::Landscape,
                                      QMarginsF(12, 12, 12, 12), QPageLayout::Millimeter));
    QPrintDialog dialog(&printer, this);
    dialog.setWindowTitle(tr("Print the Comparison"));
    if (dialog.exec() == QDialog::Accepted) printComparison(printer);
}

}  // namespace portwright
