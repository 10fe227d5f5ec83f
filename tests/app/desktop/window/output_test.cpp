// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/question_bar.h"
#include "plots/sheet/sheet.h"
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

#include <QFile>
#include <QFileInfo>
#include <QImage>
#include <QPrinter>

using namespace portwright;

namespace {

QByteArray read(const QString& path)
{
    QFile file(path);
    REQUIRE(file.open(QIODevice::ReadOnly));
    return file.readAll();
}

}  // namespace

TEST_CASE("the comparison is exported as the console draws it")
{
    Bench bench;
    REQUIRE(bench.window->exportComparison(bench.file("job.svg")));
    const auto console = renderComparison(bench.document().project(), {}, {1600, 1131}, SheetFormat::svg);
    REQUIRE(console);
    CHECK(read(bench.file("job.svg")) == *console);
    REQUIRE(bench.window->exportComparison(bench.file("job.png")));
    CHECK(QImage(bench.file("job.png")).size() == QSize(1600, 1131));
    REQUIRE(bench.window->exportComparison(bench.file("job.PDF")));
    const QByteArray pdf = read(bench.file("job.PDF"));
    CHECK(pdf.startsWith("%PDF"));
    CHECK(pdf.count("/Subtype /Image") == 0);
}

TEST_CASE("an export has the units and the housings that are shown")
{
    Bench bench;
    const std::string second = bench.document().project().housings.at(1).id;
    const QString name = QString::fromStdString(bench.document().project().housings.at(1).name);
    bench.window->workbench().setUnits(UnitSystem::us);
    bench.window->workbench().computation().setHidden(second, true);
    REQUIRE(bench.window->exportComparison(bench.file("job.svg")));
    const QString svg = QString::fromUtf8(read(bench.file("job.svg")));
    CHECK_FALSE(svg.contains(name));
    CHECK(svg.contains(QString::fromUtf8("ft\u00B3")));
}

TEST_CASE("an export that cannot be written says file, cause and way out")
{
    Bench bench;
    QFile(bench.file("file")).open(QIODevice::WriteOnly);
    for (const auto& [name, cause, wayOut] : {std::tuple("file/job.pdf", "is a file, not a folder", "save elsewhere"),
                                              std::tuple("job.gif", "none of .png, .svg and .pdf", "choose one")}) {
        CHECK_FALSE(bench.window->exportComparison(bench.file(name)));
        const QString told = bench.window->questionBar()->question();
        CHECK(told.contains(QFileInfo(QLatin1String(name)).fileName()));
        CHECK(told.contains(QLatin1String(cause)));
        CHECK(told.contains(QLatin1String(wayOut)));
        emit bench.window->questionBar()->answered(0);
    }
}

TEST_CASE("printing fills the page with vectors, on A4 and on Letter")
{
    for (const auto& [paper, box] : {std::pair(QPageSize::A4, "[0 0 842"), std::pair(QPageSize::Letter, "[0 0 792")}) {
        Bench bench;
        QPrinter printer(QPrinter::HighResolution);
        printer.setOutputFormat(QPrinter::PdfFormat);
        printer.setOutputFileName(bench.file("print.pdf"));
        printer.setPageLayout(
            QPageLayout(QPageSize(paper), QPageLayout::Landscape, QMarginsF(12, 12, 12, 12), QPageLayout::Millimeter));
        REQUIRE(bench.window->printComparison(printer));
        const QByteArray pdf = read(bench.file("print.pdf"));
        CHECK(pdf.contains(box));  // points: 297 mm, 11 in
        CHECK(pdf.count("/Subtype /Image") == 0);
        CHECK(pdf.count("/Type /Page\n") == 1);
    }
}
