// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

class QListWidget;
class QTextBrowser;

namespace portwright {

/// The help pages: one a station, one on reading the window, one with all cautions. Not modal.
class HelpWindow : public QWidget {
    Q_OBJECT
public:
    explicit HelpWindow(QWidget* parent);
    void showTopic(const QString& topic);  ///< "driver#xmax_mm"
    QString topic() const;
    QTextBrowser* browser() const { return browser_; }

    static QStringList pages();  ///< names without suffix, in order

private:
    QListWidget* list_ = nullptr;
    QTextBrowser* browser_;
};

/// About: version, licence, libraries; with a button that copies it.
void showAbout(QWidget* parent);
QString aboutText();

}  // namespace portwright
