namespace VibeCheck.Logs.Text;

/// <summary>What the body reader does with a column.</summary>
internal enum ColumnTask : byte
{
    Skip,
    Stamp,
    Dense,
    Sparse,
    Label,
}
