using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Complex envelopes, one value an envelope sample: usually of every line and axis, [3 · line + axis][sample]. Owns its
/// buffers until it is disposed; whoever made it fills it once.</summary>
internal sealed class EnvelopeSet(Workspace workspace, Complex[][] buffers) : IDisposable
{
    private Complex[][]? _buffers = buffers;

    /// <summary>How many envelopes.</summary>
    internal int Count => All.Length;

    /// <summary>All of them.</summary>
    /// <exception cref="ObjectDisposedException">After <see cref="Dispose"/>.</exception>
    internal Complex[][] All => _buffers ?? throw new ObjectDisposedException(nameof(EnvelopeSet));

    internal Complex[] this[int index] => All[index];

    /// <summary>Returns the buffers.</summary>
    public void Dispose()
    {
        if (_buffers is not null)
        {
            workspace.Return(_buffers);
            _buffers = null;
        }
    }
}
