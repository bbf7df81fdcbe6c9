using System.Globalization;

namespace VibeCheck.Campaigns.Damage;

/// <summary>A CSV file of all cases, written as they end, so that a campaign that is stopped leaves what it has done.</summary>
internal sealed class CaseList : IDisposable
{
    private readonly StreamWriter? _file;
    private readonly Lock _one = new();

    /// <param name="path">File to write; null for none.</param>
    internal CaseList(string? path)
    {
        _file = path is null ? null : new StreamWriter(path) { AutoFlush = true };
        _file?.WriteLine("subject;kind;severity;shown;job;side;outcome;wrong;reversed;motors_wrong;needless;seconds;text");
    }

    public void Dispose() => _file?.Dispose();

    internal void Add(CaseResult r)
    {
        string side = r.After ? "after" : "before", shown = r.Severity.Hidden is null ? "yes" : "no";
        lock (_one)
        {
            _file?.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{r.Kind.Subject};{r.Kind.Name};{r.Severity.Label};{shown};{r.Job};{side};{r.Outcome};{r.WrongAnswers};{r.Reversed};"
                + $"{r.MotorsWrong};{r.Needless};{r.Seconds:0.00};{r.Text.Replace(';', '|')}"));
        }
    }
}
