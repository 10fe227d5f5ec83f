// SPDX-License-Identifier: GPL-3.0-or-later
// A station's form: rows that are bound to places in the project. A row reads by one function and writes by another;
// what is typed is previewed, what is committed is one named undo step.
#pragma once

#include "app/desktop/components/card/verdict_list.h"
#include "app/desktop/components/field_row.h"
#include "app/desktop/session/workbench.h"

#include <QString>
#include <QStringList>
#include <QWidget>

#include <functional>
#include <map>
#include <vector>

class QPushButton;
class QVBoxLayout;

namespace portwright {

class FoldHeading;

/// A quantity of the project: which key of the file it is (that gives unit, range, meaning and default) and where it
/// lies.
struct QuantityPlace {
    const char* object;
    const char* key;
    QString label;
    QString field;  ///< as verdicts name it: "driver/xmax_mm"; also the help topic's anchor
    bool optional = false;
    std::function<std::optional<double>(const Project&)> read;  ///< SI
    std::function<void(Project&, std::optional<double>)> write;
};

struct ChoicePlace {
    QString label;
    QStringList names;
    QString field;
    std::function<int(const Project&)> read;
    std::function<void(Project&, int)> write;
};

class Form : public QWidget {
    Q_OBJECT
public:
    explicit Form(Workbench& workbench, const QString& helpPage, QWidget* parent = nullptr);

    void title(const QString& text, const QString& remark, bool withLetter);
    void group(const QString& heading);
    /// Rows from here to endFold(), group() or finish() can be folded away; unfolded at first only if the user has
    /// unfolded this group before in this window. `remark`: what they hold, in few words.
    void fold(const QString& heading, const QString& key, std::function<QString()> remark = {});
    void endFold();
    FieldRow* quantity(const QuantityPlace& place);
    void choice(const ChoicePlace& place);
    /// A choice that is not of the project; acts at once.
    void localChoice(const QString& label, const QStringList& names, int current, const std::function<void(int)>& act);
    void text(const QString& label, const std::function<std::string(const Project&)>& read,
              const std::function<void(Project&, const std::string&)>& write);
    ValueRow* derived(const QString& label, Dimension dimension, std::function<std::optional<double>()> value,
                      std::function<QString()> remark = {});
    void words(const std::function<QString()>& words);  ///< a dim sentence that wraps; hidden when empty
    void note(const std::function<std::pair<Mark, QString>()>& state);  ///< a state line; hidden when empty
    QPushButton* button(const QString& words, const std::function<void()>& act, const QString& tip = {});
    std::vector<QPushButton*> buttons(const std::vector<std::pair<QString, std::function<void()>>>& row);
    void add(QWidget* widget);
    void whenRefreshed(std::function<void()> refresh) { refreshers_.push_back(std::move(refresh)); }
    void finish();  ///< after the last row

    void refresh();
    bool jumpTo(const QString& field);  ///< focus the field, or the nearest there is
    FieldRow* row(const QString& field) const;
    const QStringList& fields() const { return fields_; }  ///< of its rows, in their order
    QString fieldOf(const QWidget* inside) const;          ///< of the row that a widget is part of, or empty

private:
    void faultLine();  ///< why the chosen housing cannot be computed, where that is this station's
    void connectBox(FieldRow* row, const QuantityPlace& place, const QString& step);

    Workbench& workbench_;
    QString helpPage_;
    QVBoxLayout *whole_, *column_;  ///< column_: where rows go, within a fold its own
    std::vector<std::function<void()>> refreshers_;
    std::map<QString, FieldRow*> rows_;
    QStringList fields_;
    std::map<const QWidget*, FoldHeading*> folds_;  ///< by the widget that holds the rows
};

}  // namespace portwright
