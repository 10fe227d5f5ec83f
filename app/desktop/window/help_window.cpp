// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/help_window.h"

#include "app/desktop/components/measures.h"

#include <QApplication>
#include <QClipboard>
#include <QHBoxLayout>
#include <QListWidget>
#include <QMessageBox>
#include <QPushButton>
#include <QShortcut>
#include <QSignalBlocker>
#include <QTextBrowser>

static void loadHelp() { Q_INIT_RESOURCE(help); }

namespace portwright {

QStringList HelpWindow::pages()
{
    return {QStringLiteral("start"),  QStringLiteral("reading"), QStringLiteral("driver"),
            QStringLiteral("cavity"), QStringLiteral("measure"), QStringLiteral("opening"),
            QStringLiteral("search"), QStringLiteral("radio"),   QStringLiteral("amplifier"),
            QStringLiteral("rider"),  QStringLiteral("files"),   QStringLiteral("cautions")};
}

HelpWindow::HelpWindow(QWidget* parent) : QWidget(parent, Qt::Window), browser_(new QTextBrowser)
{
    loadHelp();
    setWindowTitle(tr("Portwright Help"));
    list_ = new QListWidget;
    QListWidget* list = list_;
    list->setAccessibleName(tr("Help pages"));
    const QStringList names{tr("First steps"), tr("Reading the window"),
                            tr("Driver"),      tr("Cavity"),
                            tr("Measuring"),   tr("Opening"),
                            tr("Find a port"), tr("Radio"),
                            tr("Amplifier"),   tr("Rider"),
                            tr("Files"),       tr("Cautions")};
    list->addItems(names);
    list->setMaximumWidth(px(170));
    connect(list, &QListWidget::currentRowChanged, this, [this](int row) {
        if (row >= 0) showTopic(pages().at(row));
    });
    browser_->setAccessibleName(tr("Help text"));
    browser_->setOpenExternalLinks(false);
    auto* row = new QHBoxLayout(this);
    row->addWidget(list);
    row->addWidget(browser_, 1);
    // Text and list take keys for themselves, so that closing is no key event of this window.
    connect(new QShortcut(Qt::Key_Escape, this), &QShortcut::activated, this, &QWidget::close);
    resize(px(760), px(560));
}

void HelpWindow::showTopic(const QString& topic)
{
    const QString page = topic.section(QLatin1Char('#'), 0, 0);
    const QString anchor = topic.section(QLatin1Char('#'), 1);
    QUrl url(QStringLiteral("qrc:/help/%1.html").arg(pages().contains(page) ? page : pages().first()));
    {
        const QSignalBlocker quiet(list_);  // so that the list follows without asking for the page's top
        list_->setCurrentRow(int(qMax(qsizetype(0), pages().indexOf(page))));
    }
    browser_->setSource(url);
    browser_->setFocus();
    if (!anchor.isEmpty()) browser_->scrollToAnchor(anchor);
}

QString HelpWindow::topic() const { return browser_->source().fileName().section(QLatin1Char('.'), 0, 0); }

QString aboutText()
{
    return HelpWindow::tr("Portwright %1\n\nDriver, cavity and port of motorcycle loudspeakers: what a housing will do "
                          "before it is cut or printed.\n\n"
                          "GPL-3.0-or-later. With Qt %2, QCustomPlot 2.1, Eigen, nlohmann-json and {fmt}.\n"
                          "No network, nothing is sent anywhere.")
        .arg(QString::fromLatin1(PORTWRIGHT_VERSION), QLatin1String(qVersion()));
}

void showAbout(QWidget* parent)
{
    auto* box = new QMessageBox(QMessageBox::NoIcon, HelpWindow::tr("About Portwright"), aboutText(),
                                QMessageBox::Close, parent);
    box->setAttribute(Qt::WA_DeleteOnClose);
    QPushButton* copy = box->addButton(HelpWindow::tr("Copy"), QMessageBox::ActionRole);
    QObject::connect(copy, &QPushButton::clicked, box, [] { QApplication::clipboard()->setText(aboutText()); });
    box->setWindowModality(Qt::NonModal);
    box->show();
}

}  // namespace portwright
